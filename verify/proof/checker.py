"""A small checker of refutations: given clauses and a proof, do the clauses contradict each other?

This file needs only Python 3.11 or later, and it is short, so that you can read all of it
before you trust it:

    python checker.py formula.cnf proof.drat
    python checker.py formula.cnf proof.lrat

It says "refuted" and exits with 0, or says which line fails and why and exits with 1 (with 2 if
a file cannot be opened or the command is wrong).

**The clauses.** A variable is a whole number from 1, a literal is a variable (7: "7 is true") or
its negative (-7: "7 is false"), and a clause is a list of literals of which at least one must hold.
DIMACS is the plain text for that: a header `p cnf VARIABLES CLAUSES`, one clause per line closed by
a 0, and comment lines that begin with `c`. To *refute* clauses is to show that no assignment of
true and false satisfies all of them. Clauses that say "this puzzle, but not this solution" are
refuted exactly when the puzzle has no other solution.

**Unit propagation** is the only reasoning used here. If all literals of a clause but one
are false, that one must be true. Repeat until nothing new follows or all literals of some clause
are false, which is a *conflict*. A clause L *follows by reverse unit propagation* (RUP, Goldberg
and Novikov 2003) when taking all its literals to be false leads to a conflict. L is then implied
and may be added to the clauses. A refutation adds clauses in this way until the empty clause, which
nothing satisfies, follows.

**DRAT** (Wetzler, Heule and Hunt 2014) is the list of those additions, one per line, each closed by
a 0; a line that begins with `d` deletes a clause to keep propagation quick. DRAT also allows a
weaker kind of addition (RAT: it may lose solutions, though never all of them). The proofs for which
this checker is made do not use it, so it is refused here: only a plain RUP proof is accepted, and
every line of it is implied by the clauses. Deletions are read as the DRAT-trim program reads them:
a literal that was propagated from the clauses alone stays true even if its clause is deleted, only
one copy of a clause is deleted at a time, and deleting a clause that is not there does nothing.
None of this can make a wrong proof pass, since deleting only takes away what later lines might have
used.

**LRAT** (Cruz-Filipe, Heule, Hunt, Kaufmann and Schneider-Kamp 2017) says more, so that less
must be searched for: `ID LITERALS 0 HINTS 0`. The clauses of the formula have the numbers 1, 2, …;
each line gives its own clause a larger number, and the hints are the numbers of the clauses to
propagate, in order. Here every hint must give exactly one new literal and the last one a conflict.
`ID d NUMBERS 0` deletes. Checking is one pass that only follows the hints.

**What "refuted" promises:** no assignment satisfies the clauses of formula.cnf. Proof steps are
not trusted, wherever they came from. **What it does not promise:** that these clauses describe the
puzzle you have in mind. For that, compare the clauses with the puzzle, or build them again.

References
- E. Goldberg, Y. Novikov: Verification of proofs of unsatisfiability for CNF formulas. DATE 2003.
- N. Wetzler, M. Heule, W. Hunt: DRAT-trim: efficient checking and trimming using expressive clausal
  proofs. SAT 2014.
- L. Cruz-Filipe, M. Heule, W. Hunt, M. Kaufmann, P. Schneider-Kamp: Efficient certified RAT
  verification. CADE 2017.
"""

import re
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple


class ProofRefused(ValueError):
    """The formula or the proof is malformed, or the proof does not refute the formula."""


class DratStep(NamedTuple):
    """One line of a DRAT proof: a clause to add, or to delete."""

    line: int
    literals: tuple[int, ...]
    delete: bool = False


class LratStep(NamedTuple):
    """One line of an LRAT proof that adds a clause: its number, its literals, its hints."""

    line: int
    number: int
    literals: tuple[int, ...]
    hints: tuple[int, ...]


class LratDeletion(NamedTuple):
    """One line of an LRAT proof that deletes clauses, given by their numbers."""

    line: int
    numbers: tuple[int, ...]


# A stranger's file could be made to use up all memory. No proof about a puzzle is this large.
MOST_ON_A_LINE = 1_000_000  # characters
MOST_CLAUSES = 4_000_000
MOST_NUMBERS = 10_000_000  # in all the clauses of the formula, or all the lines of a proof

Look = Callable[[], None]  # called regularly; raises when nobody is waiting any longer


def go_on() -> None:
    """Do nothing: the caller waits as long as it takes."""


UNFINISHED = "the proof ends before the empty clause follows"
ASSUMED = -1  # the reason of a literal that is assumed, in place of the index of a clause

# Nine digits are far beyond any formula this checker could work through; `int` alone would also
# take `1_0`, `+1` and digits of other scripts, and fail on numbers of thousands of digits.
_NUMBER = re.compile(r"0|-?[1-9][0-9]{0,8}")
_NUMBERS = re.compile(r"(?:(?:0|-?[1-9][0-9]{0,8})[ \t]+)*0")


def _lines(text: str, look: Look) -> Iterator[tuple[int, str]]:
    """The lines that are neither empty nor comments, numbered from 1."""
    line = start = 0
    while start <= len(text):
        end = text.find("\n", start)
        end = len(text) if end < 0 else end
        line += 1
        if not line % 256:
            look()
        if end - start > MOST_ON_A_LINE:
            raise ProofRefused(f"line {line}: longer than {MOST_ON_A_LINE:,} characters")
        content = text[start:end].strip(" \t\r")
        start = end + 1
        if content and not content.startswith("c"):
            yield line, content


def _numbers(line: int, content: str) -> list[int]:
    """The numbers of a line without the 0 that must close it."""
    if _NUMBERS.fullmatch(content):
        return [int(word) for word in content.split()][:-1]
    for word in re.split(r"[ \t]+", content):
        if not _NUMBER.fullmatch(word):
            raise ProofRefused(f"line {line}: {word[:20]!a} is not a number of at most nine digits")
    raise ProofRefused(f"line {line}: the closing 0 is missing")


def _literals(line: int, content: str) -> tuple[int, ...]:
    """The literals of a line that is one clause closed by a 0."""
    literals = tuple(_numbers(line, content))
    if 0 in literals:
        raise ProofRefused(f"line {line}: a 0 stands before the end of the line")
    return literals


def parse_dimacs(text: str, look: Look = go_on) -> tuple[int, list[tuple[int, ...]]]:
    """Read a formula in DIMACS, one clause per line; return the number of variables and the clauses.

    Raises `ProofRefused`, naming the line, unless header, clauses and their number agree.
    """
    lines = _lines(text, look)
    line, content = next(lines, (1, ""))
    header = re.fullmatch(r"p[ \t]+cnf[ \t]+([0-9]{1,9})[ \t]+([0-9]{1,9})", content)
    if header is None:
        raise ProofRefused(f"line {line}: expected the header 'p cnf VARIABLES CLAUSES'")
    n_variables, n_clauses = int(header[1]), int(header[2])
    if n_clauses > MOST_CLAUSES:
        raise ProofRefused(f"line {line}: {n_clauses:,} clauses, more than {MOST_CLAUSES:,}")
    clauses: list[tuple[int, ...]] = []
    numbers = 0
    for line, content in lines:
        clause = _literals(line, content)
        numbers += len(clause)
        if len(clauses) == n_clauses or numbers > MOST_NUMBERS:
            what = (
                f"{MOST_NUMBERS:,} literals" if numbers > MOST_NUMBERS else f"{n_clauses} clauses"
            )
            raise ProofRefused(f"line {line}: more than {what}")
        if any(abs(literal) > n_variables for literal in clause):
            raise ProofRefused(f"line {line}: a variable beyond the {n_variables} of the header")
        clauses.append(clause)
    if len(clauses) != n_clauses:
        raise ProofRefused(f"{len(clauses)} clauses, but the header announces {n_clauses}")
    return n_variables, clauses


def parse_drat(text: str, look: Look = go_on) -> Iterator[DratStep]:
    """Read a DRAT proof in text form, one step per line. A step is read when it is asked for.

    Raises `ProofRefused`, naming the line.
    """
    left = MOST_NUMBERS
    for line, content in _lines(text, look):
        if delete := content.startswith(("d ", "d\t")):
            content = content[1:].lstrip(" \t")
        step = DratStep(line, _literals(line, content), delete)
        left -= 0 if delete else 1 + len(step.literals)
        if left < 0:
            raise ProofRefused(f"line {line}: more than {MOST_NUMBERS:,} literals and steps")
        yield step


def parse_lrat(text: str, look: Look = go_on) -> Iterator[LratStep | LratDeletion]:
    """Read an LRAT proof in text form, one step per line, as they are asked for.

    Raises `ProofRefused`, naming the line.
    """
    left = MOST_NUMBERS
    for line, content in _lines(text, look):
        if deletion := re.fullmatch(r"[0-9]{1,9}[ \t]+d[ \t]+(.*)", content):
            yield LratDeletion(line, _literals(line, deletion[1]))
            continue
        number, *rest = _numbers(line, content) or [0]
        if number < 1 or rest.count(0) != 1:
            raise ProofRefused(f"line {line}: expected 'ID LITERALS 0 HINTS 0'")
        middle = rest.index(0)
        left -= 1 + middle
        if left < 0:
            raise ProofRefused(f"line {line}: more than {MOST_NUMBERS:,} literals and steps")
        yield LratStep(line, number, tuple(rest[:middle]), tuple(rest[middle + 1 :]))


class Propagator:
    """Clauses, and what follows from them by unit propagation.

    Every clause of two or more literals is *watched* by its first two. Only when one of those
    becomes false is the clause looked at, and another literal found to watch it (Moskewicz, Madigan
    and others 2001, Chaff). Clauses are known by their index in the order they were added.
    """

    def __init__(self, look: Look = go_on) -> None:
        self.look = look
        self.clauses: list[list[int]] = []  # deleted ones too, but nothing watches those
        self.true: set[int] = set()
        self.trail: list[int] = []  # the true literals in the order they were found
        self.reason: dict[int, int] = {}  # by true literal: the clause it follows from, or ASSUMED
        self._watching: defaultdict[int, list[int]] = defaultdict(list)
        self._propagated = 0  # how much of the trail has been propagated

    def add(self, literals: Iterable[int]) -> int | None:
        """Add a clause and propagate; return the index of a clause whose literals are all false.

        Call it only while nothing is assumed: literals found true here stay true. Once a false
        clause is returned, everything is refuted and there is nothing left to ask.
        """
        true = self.true
        clause = list(dict.fromkeys(literals))
        # Literals that are not false come first, so that those are watched.
        if not true.isdisjoint([-literal for literal in clause]):
            clause.sort(key=lambda literal: -literal in true)
        index = len(self.clauses)
        self.clauses.append(clause)
        if len(clause) > 1:
            self._watching[clause[0]].append(index)
            self._watching[clause[1]].append(index)
        if not clause or -clause[0] in true:
            return index
        if (len(clause) == 1 or -clause[1] in true) and clause[0] not in true:
            self._set(clause[0], index)
            return self.propagate()
        return None

    def delete(self, literals: Iterable[int]) -> None:
        """Remove one clause with these literals, if there is one. What is true stays true."""
        wanted = set(literals)
        for literal in wanted:
            for position, index in enumerate(self._watching[literal]):
                if position & 1023 == 1023:
                    self.look()
                clause = self.clauses[index]
                if len(clause) == len(wanted) and wanted.issuperset(clause):
                    for watch in clause[:2]:
                        self._watching[watch].remove(index)
                    return

    def is_idle(self, literals: Sequence[int]) -> bool:
        """Whether a clause says nothing: one literal is true, or two of them are opposite."""
        opposites = {-literal for literal in literals}
        return not (opposites.isdisjoint(literals) and self.true.isdisjoint(literals))

    def refute(self, literals: Iterable[int]) -> int | None:
        """Assume every literal to be false and propagate; return the index of a false clause.

        The clause of these literals may not be idle. `undo` takes the assumptions back.
        """
        for literal in literals:
            if -literal not in self.true:
                self._set(-literal, ASSUMED)
        return self.propagate()

    def undo(self, length: int) -> None:
        """Forget everything on the trail from position `length` on."""
        self.true.difference_update(self.trail[length:])
        del self.trail[length:]
        self._propagated = length

    def propagate(self) -> int | None:
        """Draw all consequences of the trail; return the index of a clause found false, or None."""
        true, trail, reason = self.true, self.trail, self.reason
        clauses, watching = self.clauses, self._watching
        while self._propagated < len(trail):
            false = -trail[self._propagated]
            self._propagated += 1
            if not self._propagated & 255:
                self.look()
            watched = watching[false]
            kept = watching[false] = []
            for position, index in enumerate(watched):
                if position & 1023 == 1023:
                    self.look()
                clause = clauses[index]
                first = clause[0]
                if first == false:
                    first = clause[0] = clause[1]
                    clause[1] = false
                if first in true:
                    kept.append(index)
                    continue
                for k in range(2, len(clause)):
                    literal = clause[k]
                    if -literal not in true:
                        clause[1], clause[k] = literal, false
                        watching[literal].append(index)
                        break
                else:
                    kept.append(index)
                    if -first in true:
                        kept += watched[position + 1 :]
                        return index
                    true.add(first)
                    trail.append(first)
                    reason[first] = index
        return None

    def _set(self, literal: int, reason: int) -> None:
        self.true.add(literal)
        self.trail.append(literal)
        self.reason[literal] = reason


def not_implied(step: DratStep) -> ProofRefused:
    """The error for a step whose clause does not follow."""
    return ProofRefused(
        f"line {step.line}: {_clause_words(step.literals)} does not follow by unit propagation"
        " (RAT steps are not accepted)"
    )


def check_drat(
    clauses: Iterable[Sequence[int]], steps: Iterable[DratStep], look: Look = go_on
) -> int:
    """Check that the steps refute the clauses; return how many steps were needed until they did.

    Every added clause has to follow by reverse unit propagation, up to the one with which
    the empty clause follows; later steps are not read. Raises `ProofRefused`, naming the line.
    """
    propagator = Propagator(look)
    for number, clause in enumerate(clauses):
        if not number & 255:
            look()
        if propagator.add(clause) is not None:
            return 0
    for used, step in enumerate(steps, 1):
        look()
        if step.delete:
            propagator.delete(step.literals)
            continue
        if not propagator.is_idle(step.literals):
            known = len(propagator.trail)
            if propagator.refute(step.literals) is None:
                raise not_implied(step)
            propagator.undo(known)
        if propagator.add(step.literals) is not None:
            return used
    raise ProofRefused(UNFINISHED)


def check_lrat(
    clauses: Iterable[Sequence[int]],
    steps: Iterable[LratStep | LratDeletion],
    look: Look = go_on,
) -> int:
    """Check that the steps refute the clauses; return how many steps were needed until they did.

    When the literals of a step are taken to be false, every hint has to give one new literal, the
    last a conflict; the steps end with the empty clause. Raises `ProofRefused`, naming the line.
    """
    known: dict[int, Sequence[int]] = dict(enumerate(clauses, 1))
    if not all(known.values()):
        return 0
    last = len(known)
    for used, step in enumerate(steps, 1):
        look()
        if isinstance(step, LratDeletion):
            for number in step.numbers:
                if known.pop(number, None) is None:
                    raise ProofRefused(f"line {step.line}: no clause {number} to delete")
            continue
        if step.number <= last:
            raise ProofRefused(f"line {step.line}: number {step.number} does not come after {last}")
        last = step.number
        _follow_hints(known, step, look)
        if not step.literals:
            return used
        known[last] = step.literals
    raise ProofRefused(UNFINISHED)


def check_drat_text(clauses: Iterable[Sequence[int]], proof: str, look: Look = go_on) -> int:
    """Check a DRAT proof in text form, as `check_drat` does; text after its end is read too."""
    steps = parse_drat(proof, look)
    used = check_drat(clauses, steps, look)
    for _ in steps:
        pass
    return used


def check_lrat_text(clauses: Iterable[Sequence[int]], proof: str, look: Look = go_on) -> int:
    """Check an LRAT proof in text form, as `check_lrat` does; text after its end is read too."""
    steps = parse_lrat(proof, look)
    used = check_lrat(clauses, steps, look)
    for _ in steps:
        pass
    return used


def _follow_hints(known: dict[int, Sequence[int]], step: LratStep, look: Look) -> None:
    """Propagate through the hints of one step, which have to end in a conflict."""
    where = f"line {step.line}: "
    false = set(step.literals)
    if any(-literal in false for literal in false):
        raise ProofRefused(f"{where}{_clause_words(step.literals)} has two opposite literals")
    conflict = False
    for hint in step.hints:
        if hint < 0:
            raise ProofRefused(f"{where}hint {hint} is for a RAT step, and those are not accepted")
        clause = known.get(hint)
        if clause is None:
            raise ProofRefused(f"{where}hint {hint}: this clause does not exist or was deleted")
        if conflict:
            raise ProofRefused(f"{where}hint {hint} comes after the conflict")
        if len(clause) > 255:
            look()
        left = {literal for literal in clause if literal not in false}
        if len(left) > 1:
            raise ProofRefused(f"{where}hint {hint} leaves {len(left)} literals open")
        conflict = not left
        for literal in left:
            if -literal in false:
                raise ProofRefused(f"{where}hint {hint} gives {literal}, which is known already")
            false.add(-literal)
    if not conflict:
        raise ProofRefused(f"{where}the hints end without a conflict")


def _clause_words(literals: Sequence[int]) -> str:
    """A clause for an error message, cut when it is long."""
    if not literals:
        return "the empty clause"
    return f"clause ({' '.join(map(str, literals[:8]))}{' ...' if len(literals) > 8 else ''})"


def main(arguments: Sequence[str]) -> int:
    """Check the proof file against the formula file; return the exit code."""
    if len(arguments) != 2 or not arguments[1].endswith((".drat", ".lrat")):
        print("usage: checker.py FORMULA.cnf PROOF.drat|PROOF.lrat", file=sys.stderr)
        return 2
    try:
        name = arguments[0]
        n_variables, clauses = parse_dimacs(Path(name).read_text(encoding="utf-8"))
        name = arguments[1]
        proof = Path(name).read_text(encoding="utf-8")
        if name.endswith(".drat"):
            used = check_drat_text(clauses, proof)
        else:
            used = check_lrat_text(clauses, proof)
    except ProofRefused as refused:
        print(f"{name}: refused: {refused}")
        return 1
    except OSError as error:
        print(f"{name}: {error.strerror}", file=sys.stderr)
        return 2
    except UnicodeDecodeError:
        print(f"{name}: not a text file (binary proofs are not read)", file=sys.stderr)
        return 2
    print(f"refuted: {len(clauses)} clauses over {n_variables} variables, {used} proof steps")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
