"""From a sentence to its claims: the digits placed or struck, and the reasons given.

Tokens become a row of letters, and conclusions are patterns in it; the techniques, houses, cells
and digits next to them are their reasons. Questions, suppositions, possibilities and claims taken
back are skipped.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.listening.alternatives import alternatives, corrects, far_apart
from gridassay.verify.listening.asides import without_asides
from gridassay.verify.listening.bearings import Mention
from gridassay.verify.listening.clauses import (
    Span,
    asides,
    beside_ends,
    closed,
    find_spans,
    houses,
    is_hedged,
    names_why,
    straight,
    telling,
    tells,
    trailing_ends,
    unknown_words,
    without_hints,
    without_pointers,
)
from gridassay.verify.listening.ellipsis import Ellipsis
from gridassay.verify.listening.forms import Sentence
from gridassay.verify.listening.gleaning import Gleaned, Gleaner, only_supposes
from gridassay.verify.listening.heard import Doubt, Heard, OnlyIn
from gridassay.verify.listening.here_words import said_here
from gridassay.verify.listening.line_words import LineWords
from gridassay.verify.listening.loose_pairs import is_loose
from gridassay.verify.listening.nearby_words import NearbyWords
from gridassay.verify.listening.only_places import only_places, running_on
from gridassay.verify.listening.open_claims import open_claims, side_by_side
from gridassay.verify.listening.other_readings import is_doubtful, with_others
from gridassay.verify.listening.place_words import PlaceWords
from gridassay.verify.listening.pointing_words import pointed_at
from gridassay.verify.listening.references import References
from gridassay.verify.listening.rule_names import drawn_lines, sights
from gridassay.verify.listening.said_houses import confined, is_confined, reasons
from gridassay.verify.listening.same_step import as_one, goes_on, says_again, without
from gridassay.verify.listening.subjects import Subjects
from gridassay.verify.listening.supposing import Supposing
from gridassay.verify.listening.token import LETTER, Token
from gridassay.verify.listening.tokens import Tokenizer
from gridassay.verify.solving.board.position import Layout


def hearer_of(puzzle: Puzzle, layout: Layout, *, spoken: bool) -> Hearer:
    """The hearer of talks about a puzzle; ``spoken`` for captions."""
    tokenizer = Tokenizer(layout, spoken=spoken, sights=sights(puzzle))
    return Hearer(tokenizer, lines=bool(drawn_lines(puzzle)))


class Hearer:
    """Finds the claims about one puzzle, sentence by sentence."""

    def __init__(self, tokenizer: Tokenizer, *, lines: bool) -> None:
        """``lines`` tells that there are rules which are drawn as plain lines."""
        self._tokenizer = tokenizer
        self.canvas = tokenizer.canvas
        layout = tokenizer.layout
        spans = {
            rule: tuple(layout.cells[one] for one in layout.span(rule) if layout.is_cell(one))
            for rule in layout.said
            if rule in layout.premises
        }
        words, crossings = tokenizer.words, tokenizer.crossings
        self._references = References(self.canvas, words, spans, crossings, spoken=tokenizer.spoken)
        self._sums = bool(spans)
        boxes = frozenset(one.name for one in tokenizer.canvas.houses if one.kind == "box")
        self._line_words = (
            LineWords(tokenizer.words.lines, boxes) if lines and tokenizer.spoken else None
        )
        self._places = None if tokenizer.spoken else PlaceWords(self.canvas, words, crossings)
        self._ellipsis, self._supposing = Ellipsis(words.small), Supposing(words.small)
        placed = self._places.cells_of if self._places else None
        subjects = None if tokenizer.spoken else Subjects(self.canvas, spans, words.small)
        self._gleaner = Gleaner(words.small, self._values, placed, crossings, subjects)
        self.supposed: set[str] = set()
        """The sentences that suppose something, ask, or take something back."""

    def learn(self, texts: Sequence[str], holds: Callable[[Cell, int], bool]) -> None:
        """Learn from the sentences of notes how they name cells, and whether these come first."""
        self._tokenizer.learn(texts, holds)

    @property
    def small(self) -> Mapping[str, frozenset[str]]:
        """Small words, from the language's file."""
        return self._tokenizer.words.small

    def tokens(self, text: str) -> list[Token]:
        """The words of a text, with what each of them is."""
        return self._tokenizer.tokens(text)

    def letters(self, text: str) -> str:
        """The letters of everything that a text says, in order (``vocabulary.py``)."""
        return "".join(token.letter for token in self._tokenizer.tokens(text))

    def with_others(self, claims: Sequence[Heard], text: str, following: str) -> list[Heard]:
        """The claims of a text with what they may say instead, in its words and those that follow."""
        return with_others(claims, self.tokens(text), self.tokens(following))

    def only_places(self, text: str, following: str) -> list[OnlyIn]:
        """The houses in which a text says, also with what follows, that a digit has no other place."""
        whole = self.tokens(f"{text} {following}") if following else []
        said = only_places(self.tokens(text), self.small)
        return [*said, *running_on(whole, len(text), self.small)]

    def glean(self, text: str) -> list[Gleaned]:
        """The claims that the parts of a sentence may make, if they were not understood."""
        tokens = self._tokenizer.tokens(text)
        gleaned = self._gleaner.glean(text, tokens)
        if self._supposing.supposes or only_supposes(tokens, self.small):
            self.supposed.add(text)
        return [] if self._supposing.supposes else gleaned

    def mentions(self, pieces: Sequence[Sentence]) -> tuple[list[Mention], frozenset[int]]:
        """The digits of some sentences with the words around each, and the places of other digits."""
        return NearbyWords(self._tokenizer).mentions(pieces)

    def digits(self, text: str) -> tuple[int, ...]:
        """The digits that a text names."""
        named = (token for token in self._tokenizer.tokens(text) if token.letter == "D")
        return tuple(digit for token in named for digit in token.digits)

    def hear(self, text: str) -> tuple[list[Heard], Doubt]:
        """The claims of a sentence, and whether it takes back the one before it."""
        tokens = self._tokenizer.tokens(text, self._places)
        back = [place for place, token in enumerate(tokens) if token.letter in "ZY"]
        takes_back: Doubt = ""
        if back:
            sure = any(tokens[place].letter == "Z" for place in back)
            if not tells(tokens[: back[0]]):
                takes_back = "surely" if sure else "perhaps"
            tokens = tokens[back[-1] + 1 :]
        said = without_hints(self._without_question(tokens), self.small["which"])
        self._asides: list[Token] = []
        if not self._tokenizer.spoken:
            said, self._asides = without_asides(said, self._tokenizer.words.small)
        self._ellipsis.asks(tokens)
        said = self._ellipsis.heads(said) or said
        said = self._ellipsis.filled(said, spoken=self._tokenizer.spoken)
        row = straight(self._references.plainly(telling(said)))
        unknown = [one for one in unknown_words(tokens) if one not in self._asides]
        claims = self._supposing.without_reductio(tokens, self._claims(text, row, unknown))
        claims = self._supposing.sift(tokens, claims)
        if claims:  # from here on *the box* is where the last claim lies
            self._references.houses.clear()
        return claims, takes_back

    def _claims(self, text: str, row: list[Token], unknown: list[Token]) -> list[Heard]:
        letters = "".join(token.letter for token in row)
        spans = [span for span in find_spans(letters) if not is_hedged(row, span)]
        spans = [span for span in without_pointers(row, spans) if not far_apart(row, span)]
        if not spans:
            on_line = self._on_line(text)
            if on_line is not None:
                return on_line
            return (
                pointed_at(text, row, spoken=self._tokenizer.spoken, many=self.small["many"])
                or self._said_here(text, row)
                or open_claims(text, row)
                or ([] if unknown else side_by_side(text, row))
            )
        heard: list[Heard] = []
        said = self._tokenizer.tokens(text)
        before = 0
        trails = row[0].letter in "CD"
        for number, span in enumerate(spans):
            after = spans[number + 1].first if number + 1 < len(spans) else len(row)
            beside = beside_ends(row, span.end, after) if span.place else span.end
            if span.place and number + 1 < len(spans) and spans[number + 1].place:
                own = self._reason_ends(row, span, spans[number + 1], trails=trails)
                trails = trails or own > beside
                beside = max(beside, own)
            trailing = trailing_ends(
                text, row, span.end, after, leads=names_why(row[before : span.first])
            )
            if trailing == span.end:
                trailing = beside
            if number + 1 == len(spans) and trailing == span.end:
                trailing = next(
                    (place for place in range(span.end, len(row)) if row[place].letter == "S"),
                    len(row),
                )
            bound = [token.house for token in row[span.end : beside] if token.house]
            looked_at = asides(row[before : span.first], row[span.end : trailing])
            part = _between(said, row, before, max(trailing, beside))
            longer = _between(said, row, before, after)
            # Words after a conclusion are nearer to it than the words that led to it.
            about = [*row[span.end : trailing], *row[before : span.first]]
            alone = not span.first or row[span.first - 1].letter in "SB"
            inside = row[span.first : span.end]
            claim = self._claim(text, inside, about, span.place, unknown, alone=alone)
            before = trailing
            if claim is None:
                continue
            doubtful = is_doubtful(row, span, claim, len(self.canvas.digits), sums=self._sums)
            doubtful |= is_loose(text, said, row, span, self.small, spoken=self._tokenizer.spoken)
            only = self.small["only"]
            why = reasons(longer, inside, self._asides, only)
            claim = self._own_houses(replace(claim, doubtful=doubtful), bound, looked_at, why)
            if is_confined(part, inside, only):
                claim = confined(claim)
            if len(claim.places) > 1:
                heard += [replace(claim, places=(one,)) for one in claim.places]
                continue
            if heard and says_again(heard[-1], claim):
                heard[-1:] = without(heard[-1], claim)
            if heard and goes_on(heard[-1], claim, row[spans[number - 1].end : span.first]):
                claim = as_one(heard.pop(), claim)
            heard.append(claim)
        return heard

    def _on_line(self, text: str) -> list[Heard] | None:
        if not self._line_words:
            return None
        return self._line_words.hear(text, self._tokenizer.tokens(text))

    def _said_here(self, text: str, row: list[Token]) -> list[Heard]:
        if not self._tokenizer.spoken:
            return []
        return said_here(text, self._tokenizer.tokens(text), row, self._tokenizer.words.here)

    def _without_question(self, tokens: list[Token]) -> list[Token]:
        """The sentence without its question; one that is asked three times counts as said."""
        asks = [token for token in tokens if token.text == "?"]
        if asks and tokens[-1].text != "?":  # a question and its answer
            last = asks[-1].start
            answer = [one for one in tokens if one.start > last]
            while answer and answer[0].letter in "wB":
                answer.pop(0)
            return [one for one in tokens if one.letter != "P" and one.start < last] + answer
        if len(asks) > 1 or not tokens or tokens[-1].text != "?":
            return [token for token in tokens if len(asks) < 2 or token.text != "?"]
        words = self._tokenizer.words.questions
        first = [place for place, one in enumerate(tokens) if one.text.casefold() in words]
        return tokens[: first[0]] if first else []

    def _claim(
        self,
        text: str,
        inside: list[Token],
        about: list[Token],
        place: bool,
        unknown: list[Token],
        *,
        alone: bool,
    ) -> Heard | None:
        several = [token for token in inside if token.letter == "C"]
        cells = several[-1]
        about = [*several[:-1], *about]
        said = [token for token in inside if token.letter == "D"]
        digits = said[-1] if said else None
        settles = place and any(token.letter == "X" for token in inside)
        open_ended = any(token.letter == "V" for token in inside) or settles
        if not place and corrects(inside):
            digits, place = said[0], True
        elif len(said) > 1 and not open_ended and not said[0].either and len(said[0].digits) < 2:
            return None
        whole = [*inside, *about]
        if digits is None:
            said = [token for token in about if token.letter == "D"]
            later = [token for token in said if token.start > inside[-1].start]
            digits = later[0] if later else said[-1] if said else None
            about = [token for token in about if token is not digits]
        if digits is None and "T" in {token.letter for token in inside}:
            return next(iter(open_claims(text, inside)), None)
        neither = not place and any(token.letter == "X" for token in inside)
        following = about[0].letter if about and about[0].start >= inside[-1].end else ""
        mixed = self._has_words(text, "some order")
        only = (
            alternatives(inside, self._values(cells.cells[0]), following, alone=alone, mixed=mixed)
            if place
            else ()
        )
        digits_said = digits.digits if digits is not None else ()
        if digits is not None and only:
            digits, place, neither = replace(digits, digits=only), False, True
        if digits is None or ((cells.either or digits.either) and not neither):
            return None
        marks = tuple((cell, digit) for cell in cells.cells for digit in digits.digits)
        ordered = place or bool(only)
        if ordered and 1 < len(cells.cells) == len(digits_said) and self._has_words(text, "order"):
            marks, place = tuple(zip(cells.cells, digits_said, strict=True)), True
        elif place and len(marks) > 1 and (len(digits.digits) > 1 or not self._apart(cells.cells)):
            return None
        named = [token for token in whole if token.letter == "T"]
        premises = about if named else [token for token in about if token.letter == "Q"]
        technique = named[0].technique if named else ""
        loose = bool(named) and not named[0].firm
        if loose and not place:
            technique = ""
        rules = tuple(rule for token in premises for rule in token.rules)
        start, end = min(t.start for t in inside), max(t.end for t in inside)
        used = [token for token in whole if token.letter in "CDHTQ"]
        first, last = min(t.start for t in used), max(t.end for t in used)
        return Heard(
            said=closed(text, min(first, start), max(last, end)),
            start=min(first, start),
            places=marks if place else (),
            removes=() if place else marks,
            technique=technique,
            cells=tuple(cell for token in premises for cell in token.cells),
            digits=tuple(digit for token in premises for digit in token.digits),
            houses=() if cells.spot == LETTER else tuple(houses(whole)),
            rules=() if cells.spot == LETTER and len(rules) > 1 else rules,
            loose=loose,
            rest=cells.spot == "rest",
            left=bool(only),
            points=not place and _only_from(inside),
            sure=cells.firm and not any(start < token.start < end for token in unknown),
        )

    def _has_words(self, text: str, words: str) -> bool:
        """Whether a text has some words of a list: *in that order*, *in some order*."""
        plain = " ".join(text.casefold().split())
        return any(word in plain for word in self._tokenizer.words.small[words])

    def _reason_ends(
        self, row: Sequence[Token], span: Span, following: Span, *, trails: bool
    ) -> int:
        """The end of the houses between two placements that are reasons for the first.

        These hold its cell and not the next one, or come after *by*; ``trails`` tells that reasons of
        this sentence come after what they are for: *r8c9 = 3, r8, r8c8 = 6, c8*.
        """
        between = row[span.end : following.first]
        named = [token for token in between if token.letter == "H"]
        because = bool(between) and between[0].letter == "B" and between[0].text[0].isalpha()
        of = len(named) == 1 and between[0].letter == "I"
        if not named or len(named) + because + of != len(between):
            return span.end
        scopes = {house.name: set(house.cells) for house in self.canvas.houses}

        def within(one: Span) -> bool:
            cells = {cell for token in row[one.first : one.end] for cell in token.cells}
            return all(cells <= scopes.get(token.house, cells) for token in named)

        own = because or (within(span) and (trails or not within(following)))
        return following.first if own else span.end

    def _values(self, cell: Cell) -> Sequence[int]:
        """The values that a cell, or a letter, may have."""
        layout = self._tokenizer.layout
        return layout.domains[layout.index[cell]]

    def _own_houses(
        self, claim: Heard, bound: Sequence[str], looked_at: Sequence[str], why: Sequence[str]
    ) -> Heard:
        """With the house that a digit is placed in, without those that were merely looked at.

        ``bound`` are those said right after what is placed, ``looked_at`` those that led to it, ``why``
        those that are reasons.
        """
        if not claim.places:
            return replace(claim, houses=tuple(bound)) if bound else claim
        scopes = {house.name: set(house.cells) for house in self.canvas.houses}
        cells = {cell for cell, _ in claim.places}
        said = [*bound, *claim.houses]
        around = [one for one in said if cells <= scopes.get(one, cells)]
        elsewhere = [one for one in bound or claim.houses if one not in looked_at]
        if len(set(elsewhere)) > 1:  # several in which it is not are those that rule it out
            elsewhere = []
        apart = [one for one in elsewhere if one not in why]
        return replace(claim, houses=tuple((around or apart)[:1]))

    def _apart(self, cells: Sequence[Cell]) -> bool:
        """Whether no two of the cells lie in one house, so that a digit may be in all of them."""
        return all(len(set(house.cells) & set(cells)) < 2 for house in self.canvas.houses)


def _between(said: Sequence[Token], row: Sequence[Token], first: int, end: int) -> list[Token]:
    """The tokens of a sentence from one place of its row to another."""
    until = row[end].start if end < len(row) else said[-1].end
    return [one for one in said if row[first].start <= one.start < until]


def _only_from(inside: Sequence[Token]) -> bool:
    """Whether a digit is *from* a cell, without a verb that strikes it."""
    letters = "".join(token.letter for token in inside)
    return letters.startswith("DF") and letters.endswith("FC")
