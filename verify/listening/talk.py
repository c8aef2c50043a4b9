"""The audit of a talk: notes, prose or captions checked against a puzzle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Canvas
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.results import Audit
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.listening.announcements import with_announcements
from gridassay.verify.listening.captions import cue_sentences, read_cues
from gridassay.verify.listening.cue_breaks import mended
from gridassay.verify.listening.forms import Form, Sentence, form_of, sentences
from gridassay.verify.listening.gleaning import Gleaned
from gridassay.verify.listening.heard import Heard, OnlyIn
from gridassay.verify.listening.hearing import Hearer, hearer_of
from gridassay.verify.listening.mentions import in_text, offsets, told_in_words, with_mentions
from gridassay.verify.listening.nearby_listener import NearbyListener
from gridassay.verify.listening.only_places import said_beside, shown_after, with_only
from gridassay.verify.listening.other_readings import apart
from gridassay.verify.listening.results import TalkAudit
from gridassay.verify.listening.units import together


@within_budget
def audit_talk(
    puzzle: Puzzle,
    text: str,
    *,
    form: Form | None = None,
    deep: bool = False,
    reasons: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> TalkAudit:
    """Check what was written or said about a solve against a puzzle, claim by claim.

    ``form`` is found from the text if it is not given; a text of steps is heard as notes. True
    claims are applied, whatever their reason; a claim that was not understood is *unclear* and
    never wrong. With ``deep``, steps that were left out may be of any named technique, and up to six
    rounds of them; with ``reasons``, ``clean`` gives a reason for each true claim that no named technique
    gives (both take longer).

    Raises OutOfTime if the budget runs out, and PuzzleError for captions that cannot be read.
    """
    clock = Clock.of(budget)
    began = clock.time_spent()
    form = form or form_of(text, puzzle)
    spoken = form == "captions"
    listener = NearbyListener(puzzle, clock, deep=deep, reasons=reasons)
    hearer = hearer_of(puzzle, listener.layout, spoken=spoken)
    pieces = list(_caption_sentences(text, hearer) if spoken else sentences(text))
    if not spoken:
        hearer.learn([one.text for one in pieces], listener.holds)
    said = list(together(pieces, hearer.letters, spoken=spoken))
    begins = offsets(said, pieces)
    claims = _hear(hearer, said, begins)
    mentions, passed = hearer.mentions(pieces)
    if not spoken:
        mentions = told_in_words(mentions, pieces, hearer.supposed)
    claims = with_mentions(claims, mentions, passed, pieces)
    steps = tuple(with_announcements((heard, listener.judge(heard)) for heard in claims))
    end = Audit(puzzle, listener.auditor.first_truth, (), listener.position, 0.0)
    return TalkAudit(puzzle, form, steps, end.solved, end.ending, clock.time_spent() - began)


def _caption_sentences(text: str, hearer: Hearer) -> Iterator[Sentence]:
    """The sentences of captions."""
    return mended(cue_sentences(read_cues(text)), hearer.tokens, hearer.small)


def _hear(
    hearer: Hearer, said: Sequence[Sentence], begins: Sequence[Sequence[tuple[int, int]]]
) -> list[Heard]:
    """All claims, without those that were taken back; ``begins`` as in ``mentions.py``."""
    claims: list[Heard] = []
    doubted = unheard = False
    missed: list[tuple[int, ...]] = []
    before: list[OnlyIn] = []
    for number, sentence in enumerate(said):
        found, takes_back = hearer.hear(sentence.text)
        if takes_back and unheard:  # that is what is taken back
            takes_back = ""
        letters = set(hearer.letters(sentence.text))
        unheard = not found and not letters & set("ZY") and _may_claim(letters, unheard)
        if not found and _may_be_step(letters):
            missed.append(hearer.digits(sentence.text))
        gleaned = hearer.glean(sentence.text)
        if not takes_back:
            found = _with_gleaned(found, gleaned)
        runs_on = sentence.places[0].time is not None and number + 1 < len(said)
        runs_on = runs_on and sentence.text.rstrip()[-1] not in ".!?,;"
        following = said[number + 1].text if runs_on else ""
        found = hearer.with_others(found, sentence.text, following)
        only = hearer.only_places(sentence.text, following)
        found = with_only(found, only, before)
        before = said_beside(only, found)
        doubted = doubted or takes_back == "perhaps"
        if claims and only:
            claims[-1] = shown_after(claims[-1], only, found)
        if takes_back == "surely" and claims:
            claims.pop()
            doubted = False
        for one in found:
            at = sentence.place(one.start)
            if doubted and claims and _instead(claims[-1], one, hearer.canvas):
                claims.pop()
            doubted = False
            start = in_text(one.start, begins[number])
            where = replace(one, start=start, line=at.line, time=at.time, until=at.until)
            claims.append(replace(where, missed=tuple(missed)))
            missed.clear()
    return apart(claims)


def _with_gleaned(found: Sequence[Heard], gleaned: Sequence[Gleaned]) -> list[Heard]:
    """The claims of a sentence, and those gleaned from its other words.

    What was gleaned from the words of a claim is heard if that is unclear.
    """
    said = {pair for one in found for pair in (*one.places, *one.removes)}
    apart = [
        one.claim
        for one in gleaned
        if not any(_overlaps(one, claim) and _about(one, claim) for claim in found)
        and said.isdisjoint((*one.claim.near, *one.claim.removes))
    ]
    claims = [
        replace(
            claim,
            instead=tuple(one.claim for one in gleaned if one.whole and _overlaps(one, claim)),
        )
        for claim in found
    ]
    # *Column nine wants 7 and 8, and r4c9 is the 7* says first what is left.
    return sorted([*claims, *apart], key=lambda one: (one.start, not (one.gleaned and one.left)))


def _overlaps(one: Gleaned, claim: Heard) -> bool:
    return one.claim.start < claim.start + len(claim.said) and claim.start < one.end


def _about(one: Gleaned, claim: Heard) -> bool:
    """Whether a claim may be about the cells of one that was gleaned; its words may name others."""
    cells = {cell for cell, _ in (*claim.places, *claim.removes)}
    if one.at_place and cells:
        return not set(claim.places).isdisjoint(one.claim.near)
    return (
        not cells.isdisjoint(cell for cell, _ in (*one.claim.near, *one.claim.removes)) or not cells
    )


def _may_claim(letters: set[str], unheard: bool) -> bool:
    """Whether a sentence that was not heard, or one before it, may have been a claim."""
    return unheard or ("D" in letters and bool(letters & set("CHILMQNTEGXR")))


def _may_be_step(letters: set[str]) -> bool:
    """Whether a sentence that was not heard may have been a step that is not a single."""
    return "D" in letters and bool(letters & set("XRQT")) and not letters & set("ZY")


def _instead(last: Heard, claim: Heard, canvas: Canvas) -> bool:
    """Whether a claim replaces the one before it: the same cell, or the same digit in a house."""
    if not (last.concludes and claim.concludes):
        return bool(set(last.houses) & set(claim.houses))
    before, after = (*last.places, *last.removes), (*claim.places, *claim.removes)
    placed = bool(last.places) == bool(claim.places)
    return any(
        one == other
        or (
            placed
            and digit == worth
            and any({one, other} <= set(house.cells) for house in canvas.houses)
        )
        for one, digit in before
        for other, worth in after
    )
