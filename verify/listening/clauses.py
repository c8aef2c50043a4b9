"""Finds the conclusions in a row of tokens, and which of the words around belong to each.

Tokens are a row of letters (``vocabulary.py``), and conclusions are patterns in it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from gridassay.verify.listening.token import Token

_STRIKES = (
    "CE?V?DS?E?XD(?![IF]*C)",
    "CDT?H*F+C",
    "CE?X[EIG]*D(?![IF]+C)",
    "CR+F?D(?![IF]+C)",
    "D(?:IH)?[EG]*X[EGIR]*F?C",
    "XD[IF]+C",
    "DI+C[EG]*R",
    "DI+C[EG]*X(?=$|[SBP])",
    "R+D(?:F|I)+C",
    "RF*CD",
    "D[EGR]+(?:IH)?F+C",
    "D[EG]*R+[IF]+C",
    "FCD(?:[EG]*R)?(?![IF]+C)",
    "CD[EG]*X[EG]*(?=$|[SBP])",
    "XE+CD(?![IF]+C)",
    "TRD(?:F|I)+C",
    "TXD(?:F|I)+C",
    "CG?X[EG]*D(?![IF]+C)",
    "XC(?=$|[SBP])",
    "XD[EGIF]+C",
    "XDC(?![EXGRD])",
    "DJ?R+F*C",
    "DT?H*[EGRT]*F+C(?!I+C)",
    "XI+C",
    "CR+(?=$|[SBP])",
    "DF+C(?![EXGRDF]|I+C)",
)
_PLACES = (
    "DI+CE+T(?!I*D)",
    "CE+H[EG]+D",
    "T(?:I?D)?(?:I?H)?E+C(?!E)",
    "C(?:G*E+|I)(?:T)(?:I*D)",
    "CTI*D",
    "C[EV]+G?I*D(?!X[EGI]*C|F+C)",
    "CG+D(?!F+C)",
    "DTIHE+C",
    "DI+T(?:I*H)?C",
    "DTE*IC",
    "D(?:IH)?[EG]*I+C(?!E|X(?!C(?:$|[SBP])))",
    "D(?:IH)?[EG]+C(?!(?:E*X|R|E)D)",
    "GDI*C",
    "CGI*D",
    "CGI+D(?!I)",
    "CI+D(?![IEX])",
    "C[BEIG]*T(?:I*H)?[EGI]*D(?!I+C)",
    "T(?:I*H)?[EGJ]*DI+C",
    "DT(?:I*H)?[EGIJ]*C(?![EXRF])",
    "D(?:I*H)?J?[EGIT]*J?C(?![EXRFJ]|GD)",
    "CJ?D(?!F+C)",
    "C[EI]*[BQH][EBIQH]*D(?!I*C|F)",
    "DSC(?=$)",
)
_SETTLES = ("CE?XD(?:I*Q|I+H(?=S))?S?E+D(?!I+C)",)
_CONCLUSIONS = [
    *((re.compile(pattern), True) for pattern in _SETTLES),
    *((re.compile(pattern), False) for pattern in _STRIKES),
    *((re.compile(pattern), True) for pattern in _PLACES),
]
CROSSED = re.compile(
    "I*H[EGIJT]*D[EGTJ]*(?:(?<=T)I*|[IF]+)H(?![A-Z]*C)|DJ?[EG]*(?:I+|T)H(?:[EGJ]*I+|J)H|I+H[ETI]*D[EGI]+H"
)
LISTED = re.compile("D[JSIEB]*C(?:I*H)?(?:C(?:I*H)?)+")
_NUMBERED = re.compile(r"\d|\b(?:one|two|three|four|five|six|seven|eight|nine)$", re.IGNORECASE)
_BESIDE = frozenset({"(", "[", "in", "of", "for", "into", "on"})
_ADDS = re.compile(r"\band\b", re.IGNORECASE)
_REFERS = frozenset({"above", "below", "under", "over", "underneath", "beneath", "directly above"})
TWICE = re.compile("(?<=X)D(?:XD)+")
_ITS_VERB = re.compile("T[IH]*E+")
"""Between two digits: *four, and the last one in box five is a five* says where the second is."""
_PASSING = re.compile("D[IG]+H")
"""In a reason, a house that has the digit already: *(6 in r1 now)*."""
_THEN = frozenset({"then"})
_APART = re.compile("(?<=C)(?P<aside>[BI][BIQ]*[QH])[EXV]+D(?![IF]+C)")
_SUPPOSES = frozenset({"if", "suppose", "supposing", "assume", "assuming", "imagine", "say that"})


@dataclass(frozen=True)
class Span:
    """The span of a conclusion in a row, and whether it places a digit."""

    first: int
    end: int
    place: bool


def telling(tokens: Sequence[Token]) -> list[Token]:
    """The tokens that matter."""
    return [token for token in tokens if token.letter not in "wKU"]


def tells(tokens: Sequence[Token]) -> bool:
    """Whether words before a retraction are what is taken back, unlike *no* in *no, pardon*."""
    letters = {token.letter for token in tokens}
    return bool(letters & set("ERGT")) or ("D" in letters and bool(letters & set("CHL")))


def unknown_words(tokens: Sequence[Token]) -> list[Token]:
    """The words that are not known, and places, unless their cell is named: *beside it, at r9c1*."""
    letters = "".join(token.letter for token in tokens)
    return [
        token
        for at, token in enumerate(tokens)
        if token.letter == "U"
        or (token.letter in "LM" and not re.match("[wK]*I?w*C", letters[at + 1 :]))
    ]


def without_hints(tokens: Sequence[Token], which: frozenset[str]) -> list[Token]:
    """Without a possibility in passing: *r7c2, which would want that 6, is not a 3*."""
    row = list(tokens)
    for place in range(len(row) - 2, 0, -1):
        word = " ".join(row[place + 1].text.casefold().split())
        why = _reason(row[place + 1])
        if row[place].text != "," or not (why or word in which) or row[place - 1].letter != "C":
            continue
        end = next((at for at in range(place + 1, len(row)) if row[at].text == ","), None)
        aside = {one.letter for one in row[place:end]}
        if end is None or not ("P" in aside or (why and "C" in aside)):
            continue
        follows = next((one.letter for one in row[end + 1 :] if one.letter not in "wU"), "")
        if follows in ("E", "X", "R"):
            del row[place : end + 1]  # where it has a reason, that is no longer heard
    return row


def straight(row: Sequence[Token]) -> list[Token]:
    """With what stands between a cell and its verb after them: *r2c3, by the dot, is 3*."""
    letters = "".join(one.letter for one in row)
    plain = list(row)
    for match in reversed(list(_APART.finditer(letters))):
        first, end = match.span("aside")
        if {"(", "[", ":"} & {one.text for one in row[first:end]} or _has_digit(letters[:first]):
            continue  # *8 r4c7 (c9 has 8)*, *r2c7: b3 has its 8*
        plain[first : match.end()] = [*plain[end : match.end()], *plain[first:end]]
    return plain


def _has_digit(letters: str) -> bool:
    """Whether a cell has its digit before it: *seven in r3c1 because row two has a seven*."""
    return bool(re.search("D[EGIT]*I+C$|(?:^|[SB])DC$", letters))


def refers(token: Token) -> bool:
    """Whether a digit after a token only says what a cell lies beside."""
    return token.letter in "LM" and token.text.casefold() in _REFERS


def parting_place(row: list[Token], one: int, other: int) -> int:
    """The place at which the words of one digit end and those of the next begin."""
    for place in range(one + 1, other):
        if row[place].letter in "KS":
            return place
    words = "".join(token.letter for token in row[one + 1 : other])
    return one + 1 if _ITS_VERB.fullmatch(words) else other


def names_digit(row: Sequence[Token]) -> bool:
    """Whether a row ends in a digit, or in where one is to go."""
    said = next((token for token in reversed(row) if token.letter not in "IH"), None)
    if said is None or len(said.digits) > 1:
        return False
    return bool(re.search("D(?:I*H)?$", "".join(token.letter for token in row)))


def find_spans(letters: str) -> list[Span]:
    """The spans of conclusions, from left to right."""
    found = []
    place = 0
    while place < len(letters):
        for regex, places in _CONCLUSIONS:
            match = regex.match(letters, place)
            if match:
                found.append(Span(place, match.end(), places))
                place = match.end()
                break
        else:
            place += 1
    return found


def is_hedged(row: list[Token], span: Span) -> bool:
    """Whether a conclusion is only a question, a possibility or a supposition."""
    begin = span.first
    while begin and row[begin - 1].letter != "S":
        begin -= 1
    end = span.end
    while end < len(row) and row[end].letter not in "SCDHTQ" and not _reason(row[end]):
        end += 1
    if any(token.letter == "P" for token in row[begin:end]):
        return True
    supposed = any(
        token.letter == "P" and token.text.casefold() in _SUPPOSES for token in row[:begin]
    )
    leads = row[begin - 1].text.casefold() if begin else ""
    return supposed and leads in _THEN


def _reason(token: Token) -> bool:
    return token.letter == "B" and token.text[0].isalpha()


def without_pointers(row: list[Token], spans: list[Span]) -> list[Span]:
    """The conclusions without those that only point at a digit: ``the 9 in r5c6`` beside another."""

    def points(span: Span) -> bool:
        return span.place and {token.letter for token in row[span.first : span.end]} <= set("DIHC")

    firm = [span for span in spans if not points(span)]
    if not firm:
        return spans
    kept = []
    for span in spans:
        reason = span.first and row[span.first - 1].letter == "B"
        if not points(span) or not (reason and row[span.first - 1].text not in ":;()"):
            kept.append(span)
    return kept


def names_why(tokens: Sequence[Token]) -> bool:
    """Whether a technique or a rule is among some tokens."""
    return any(token.letter in "TQ" for token in tokens)


def beside_ends(row: list[Token], first: int, after: int) -> int:
    """The end of a house that is said right after a placement: ``(b1)``, *in box 4*."""
    place = first
    while place < after and row[place].text.casefold() in _BESIDE and place < first + 2:
        place += 1
    if place >= after or row[place].letter != "H":
        return first
    follows = row[place + 1].letter if place + 1 < len(row) else ""
    if place > first and row[place - 1].text in "([" and follows == "H":
        return first  # *(c4, r3)* are those that rule it out elsewhere
    if not _NUMBERED.search(row[place].text) and first:
        return place + 1
    return first if follows and follows in "DJEGTCX" else place + 1


def trailing_ends(text: str, row: list[Token], first: int, after: int, *, leads: bool) -> int:
    """The place at which the words of one conclusion end and those of the next begin."""
    for place in range(first, after):
        if row[place].letter == "S":
            return place + 1
    between = row[first:after]
    reasons = any(token.letter == "B" for token in between)
    if names_why(between) and after < len(row) and not reasons:
        named = next(token for token in between if token.letter in "TQ")
        if _ADDS.search(text, row[first - 1].end, named.start):
            return first
    if names_why(between) and (reasons or not leads):
        last = max(place for place in range(first, after) if row[place].letter in "TQ")
        if row[last].letter == "T" and after < len(row) and row[last + 1].letter == "D":
            return first  # *and column 6 is closed by a 1 in row 9*
        while last + 1 < after and row[last + 1].letter in "IHB":
            last += 1
        return last + 1
    return first


def houses(tokens: Sequence[Token]) -> list[str]:
    """The houses said of a technique or a digit: *in row 5*, not those merely looked at."""
    found: list[str] = []
    tokens = [one for one in tokens if one.letter != "S"]
    for place, token in enumerate(tokens):
        near = tokens[max(0, place - 2) : place + 2]
        goes_on = bool(place and found and tokens[place - 1].letter == "H")
        if token.letter == "H" and (goes_on or any(one.letter in "TID" for one in near)):
            found.append(token.house)
    return list(dict.fromkeys(found))


def asides(before: Sequence[Token], after: Sequence[Token]) -> list[str]:
    """The houses only looked at: those before *so*, and those after *because* that hold something."""
    last = max((place for place, one in enumerate(before) if one.letter == "S"), default=0)
    found = [token.house for token in before[:last] if token.letter == "H"]
    since = next((place for place, one in enumerate(after) if one.letter == "B"), len(after))
    reason = after[since:]
    named = [place for place, token in enumerate(reason) if token.letter == "H"]
    after_it = ["".join(one.letter for one in reason[place + 1 : place + 3]) for place in named]
    if len(named) == 1 and after_it[0] in ("ET", "T"):
        return found  # *since column 3 has no other place for it* names the house of the single
    row = "".join(one.letter for one in reason)
    if _PASSING.search(row) and "T" not in row:
        return found + [reason[place].house for place in named]
    tells = any(letters[:1] in tuple("EXGRD") for letters in after_it)
    return found + [reason[place].house for place in named if tells or len(named) > 1]


def closed(text: str, start: int, end: int) -> str:
    """A part of a text, with the bracket that closes it."""
    said = text[start:end].strip()
    after = text[end : end + 1]
    return said + after if after and after in ")]" and after not in said else said
