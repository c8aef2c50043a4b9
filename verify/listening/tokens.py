"""A sentence as a row of tokens: cells, digits, houses, techniques, and the words that join them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.encodings.constraints import Letter
from gridassay.encodings.grid import Cell
from gridassay.verify.listening.amounts import Amounts
from gridassay.verify.listening.box_places import box_at
from gridassay.verify.listening.cell_names import CellNames
from gridassay.verify.listening.clause_breaks import with_clause_breaks
from gridassay.verify.listening.crossings import Crossings
from gridassay.verify.listening.jots import Jots
from gridassay.verify.listening.lists import joined
from gridassay.verify.listening.misheard import corrected
from gridassay.verify.listening.notations import notation_of
from gridassay.verify.listening.numbered_houses import numbered_houses
from gridassay.verify.listening.place_words import PlaceWords
from gridassay.verify.listening.rule_names import RuleNames
from gridassay.verify.listening.shorthand import Order, order_of, with_breaks
from gridassay.verify.listening.small_words import settled
from gridassay.verify.listening.technique_names import technique_at, told_of_cells
from gridassay.verify.listening.token import LETTER, ON_SIDE, PLACED, Token, letters_of
from gridassay.verify.listening.vocabulary import Vocabulary, vocabulary
from gridassay.verify.listening.written_words import with_written_words
from gridassay.verify.solving.board.position import Layout

_SHORT_HOUSE = re.compile(r"\b(?P<kind>[rcb])(?P<number>\d+)\b", re.I)
_SHORT = {"r": "row", "c": "column", "b": "box"}
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d+|\S")
_MINUS = re.compile(r"\s*[-–−]\s*(?=\d)")
_COLON = re.compile(r"\s*:\s*(?=(?P<word>\d|[A-Za-z]+))")
_SIDE = re.compile(r"\s+(?:side|end)\s+of\b", re.IGNORECASE)
_SET_OFF = re.compile(" / ")
_TOLD = re.compile("(?<!D)DE?C$")
_DENIED = re.compile(
    r"(?<![^\s(,;])(?:[!~¬]|(?P<minus>[-−]))(?=\d+\s)|(?<![^\s(,;])[!~¬x](?=\d{1,4}(?![\dx]))"
    r"|(?<![^\s(,;])x(?=\s\d+(?!\s*[\dx=]))"
)
_NEXT = re.compile(r"\s*")
_TAKEN = re.compile(r"\b(?:take|takes|taking|took|taken)\s+(?:(?:the|a|its)\s+)?$", re.IGNORECASE)
_PLURAL = re.compile(r"s\b", re.I)
_JOINED_TO = re.compile(r"[a-z]+(?![\w])", re.I)
_LETTER = re.compile(r"(?<![\w'])(?P<letter>[A-Z])(?![\w'])\s*(?P<number>\d)?")
_IN_CELLS = re.compile(r"\d{1,2}\(\d\)|\d{2}/\d\b")
_NUMBER = re.compile(r"\d+(?!\s*[+×])")


class Tokenizer:
    """Makes tokens from texts about one puzzle."""

    def __init__(
        self,
        layout: Layout,
        *,
        spoken: bool,
        sights: Mapping[str, str] | None = None,
        language: str = "en",
    ) -> None:
        """``sights`` as in ``rule_names.py``: what one sees of each rule, by its name."""
        self.layout = layout
        self.canvas = layout.canvas
        self.words: Vocabulary = vocabulary(language)
        self.spoken = spoken
        self._order: Order = ""
        self._kinds = {house.name: house.kind for house in self.canvas.houses}
        self.crossings = Crossings(self.canvas)
        self._known: dict[str, list[Token]] = {}
        self.cells = CellNames(self.canvas, self.words, spoken=spoken)
        self._amounts = Amounts(layout, self.words, self.cells.number, self._digit, spoken=spoken)
        self._jots = Jots(self.canvas, self.words.small, self.words.houses, self.crossings)
        self._rules = RuleNames(layout, self.words, sights or {}, spoken=spoken)

    def tokens(self, text: str, places: PlaceWords | None = None) -> list[Token]:
        """The tokens of a sentence, in order; neighbours of the same kind are merged.

        With ``places``, which are read once for each sentence, in order, cells told by them are cells.
        """
        if text not in self._known or places is not None:
            self._known[text] = self._read(text, places)
        return list(self._known[text])

    def learn(self, texts: Sequence[str], holds: Callable[[Cell, int], bool]) -> None:
        """Learn from some notes how they name cells, and whether the cell or its digit comes first.

        ``holds`` tells whether a digit is true of a cell.
        """
        self.cells.notation = notation_of(texts, self.canvas, holds)
        self._known.clear()
        self._order = order_of(map(self.tokens, texts))
        self._known.clear()

    def _read(self, text: str, places: PlaceWords | None) -> list[Token]:
        apart = self.apart(text, places)
        parted = list(self.several_houses(apart))
        if not self.spoken:
            parted = with_clause_breaks(
                list(self._houses_by_number(parted)), self.words.small["it"]
            )
        parted = self.crossings.with_columns(parted, self.words.small["singular"])
        row = joined(parted, self.words.small["singular"])
        return self.crossings.with_digits(row)

    def apart(self, text: str, places: PlaceWords | None = None) -> list[Token]:
        """The tokens of a text, each digit and each cell by itself."""
        text = text.replace("’", "'")
        self.cells.begin(text)
        found: list[Token] = []
        place = 0
        while place < len(text):
            if text[place].isspace():
                place += 1
                continue
            token = self._at(text, place, found)
            found.append(token)
            place = max(token.end, place + 1)
        if not self.spoken:
            found = self._jots.separate(text, found)
        if places is not None:
            found = places.with_cells(text, found)
        if self._order:
            found = with_breaks(found, self._order)
        if self.spoken:
            found = list(corrected(found, self.words.misheard, self.canvas.reader))
        found = told_of_cells(found, self.words.small)
        found = settled(found, self.words.small, spoken=self.spoken)
        return found if self.spoken else list(with_written_words(found, self.words.small))

    def several_houses(self, tokens: list[Token]) -> Iterator[Token]:
        """The tokens with one house for each number of *rows two and six*."""
        last: Token | None = None
        for place, token in enumerate(tokens):
            if token.letter == "H":
                kind = token.text.split()[0].casefold()
                last = token if kind.endswith("s") and kind in self.words.houses else None
            elif token.letter == "D" and last is not None:
                number = self.words.numbers.get(token.text.casefold(), token.text)
                house = self._house_named(self._kinds[last.house], str(number))
                if tokens[place - 1].letter == "K" and house:
                    token = replace(token, letter="H", digits=(), house=house)
                else:
                    last = None
            elif token.letter != "K":
                last = None
            yield token

    def _houses_by_number(self, tokens: Sequence[Token]) -> Iterator[Token]:
        """With the house that *the fourth* is, after a line: *not in the first column or the fourth*."""
        kind = ""
        for place, token in enumerate(tokens):
            if token.letter == "H" and self._kinds[token.house] in ("row", "column"):
                kind = self._kinds[token.house]
            number = self.words.ordinals.get(token.text.casefold()) if token.letter == "U" else None
            lead = letters_of(tokens[max(0, place - 2) : place])
            follows = letters_of(tokens[place + 1 : place + 2])
            if (
                number
                and kind
                and lead in ("Iw", "Vw")
                and (follows in ("", *"KSBV") or tokens[place + 1].text in ".!;")
            ):
                house = self._house_named(kind, str(number))
                token = replace(token, letter="H", house=house) if house else token
            yield token

    def _at(self, text: str, place: int, before: list[Token]) -> Token:
        value = self._letter(text, place) or self._value(text, place, before)
        if value is not None:
            return value
        token = self.cells.crossing(text, place, before) or self.cells.token(text, place)
        token = token or self._rules.token(text, place, self.cells.token, self._house)
        token = token or self._house(text, place) or technique_at(text, place)
        limit = self.words.limits.match(text, place) if token is None else None
        if text[place] == ">" and before and before[-1].letter == "D":
            into = _NEXT.match(text, place + 1)
            if into and self.cells.token(text, into.end()) is not None:  # *6 > 2.3*
                return Token("I", ">", place, place + 1)
        token = token or (self._amounts.token(text, place, before) if limit else None)
        token = token or self._spot(text, place)
        if token is not None:
            return token
        set_off = not self.spoken and _SET_OFF.match(text, max(0, place - 1))
        if set_off and _TOLD.search(letters_of(before)):  # *6 r3c9 / 5 r2c9*
            return Token("S", "/", place, place + 1)
        denied = _DENIED.match(text, place)
        if (
            denied
            and not self.spoken
            and not (before and before[-1].letter == "C" and denied["minus"])
        ):
            return Token("X", denied.group(), place, denied.end())
        if before and before[-1].letter == "C":
            minus = _MINUS.match(text, place)
            if minus and self.cells.token(text, minus.end()) is None:
                return Token("X", "-", place, minus.end())
            if text[place] == "{":
                return Token("E", "{", place, place + 1)
            colon = _COLON.match(text, place)
            if colon and (
                colon["word"].isdigit() or colon["word"].casefold() in self.words.numbers
            ):
                return Token("E", ":", place, colon.end())
        best = (
            self._amounts.token(text, place, before)
            or self._sum(text, place)
            or self._digit(text, place)
        )
        for letter, regex in self.words.patterns:
            match = regex.match(text, place)
            named = letter == "A" and "same" not in match.group() if match else False
            if match and named and self._named_after(text, match):
                continue
            if match and match.end() > (best.end if best else place):
                best = Token(letter, match.group(), place, match.end())
        if best is not None:
            return best
        word = _WORD.match(text, place)
        assert word is not None
        letter = "U" if word.group()[0].isalnum() else "w"
        return Token(letter, word.group(), place, word.end())

    def _letter(self, text: str, place: int) -> Token | None:
        """A letter of which a value is said: *B = 17*, *D 11 or 14*, not the article."""
        match = _LETTER.match(text, place)
        letter = Letter(match["letter"]) if match else None
        if match is None or letter not in self.layout.index:
            return None
        end = match.end("letter")
        after = match.end() - len(match["number"] or "")
        told = match["number"] and match["letter"] not in "AI"
        told = told or any(
            found and _plainly(found.group()) not in self.words.small["holds"]
            for kind, regex in self.words.patterns
            if kind in "EXR"
            for found in [regex.match(text, after)]
        )
        told = told or self.words.bounds.before.match(text, after)
        if not told:
            return None
        return Token("C", match["letter"], place, end, cells=(letter,), spot=LETTER)  # type: ignore[arg-type]

    def _value(self, text: str, place: int, before: list[Token]) -> Token | None:
        """A value of a letter: the number after it and its verb, or after another such number."""
        match = _NUMBER.match(text, place)
        said = next((one for one in reversed(before) if one.letter not in "wEXRVK"), None)
        if match is None or said is None or said.spot != LETTER:
            return None
        letter = next(one.cells[0] for one in reversed(before) if one.letter == "C")
        value = int(match.group())
        at = self.layout.index.get(letter)
        if at is None or value not in self.layout.domains[at]:
            return None
        return Token("D", match.group(), place, match.end(), digits=(value,), spot=LETTER)

    def _house(self, text: str, place: int) -> Token | None:
        match = _SHORT_HOUSE.match(text, place)
        if match:
            kind = _SHORT[match["kind"].casefold()]
            return _house_token(match, self._house_named(kind, match["number"]))
        match = self.words.placed_box.match(text, place)
        if match:
            words = _plainly(match["place"] or match["place2"])
            known = _house_token(match, box_at(self.canvas, self.words.boxes[words]))
            spot = ON_SIDE if words in self.words.small["side"] else PLACED
            return replace(known, spot=spot) if known else None
        match = self.words.misheard_house.match(text, place) if self.spoken else None
        if match:
            number = str(self.words.misheard[match["number"].casefold()])
            kind = self.words.houses[match["kind"].casefold()]
            return _house_token(match, self._house_named(kind, number))
        match = self.words.last_line.match(text, place)
        if match:
            kind = self.words.houses[match["kind"].casefold()]
            size = self.canvas.rows if kind == "row" else self.canvas.columns
            return _house_token(match, self._house_named(kind, str(size)))
        match = self.words.nth_house.match(text, place)
        begins = match is not None and self.cells.token(text, match.start("kind"))
        if match and not begins:  # unlike *first column two row nine*
            place_of = self.words.ordinals[match["number"].casefold()]
            kind = self.words.houses[match["kind"].casefold()]
            return _house_token(match, self._house_named(kind, str(place_of)))
        match = self.words.house.match(text, place)
        if match:
            said = match["number"]
            number = str(self.words.numbers.get(said.casefold(), said))
            kind = self.words.houses[match["kind"].casefold()]
            number = self.cells.line_number(kind, number)
            return _house_token(match, self._house_named(kind, number))
        line = self.cells.line(text, place)
        return _house_token(line.match, self._house_named(line.kind, line.number)) if line else None

    def _in_a_house(self, text: str, match: re.Match[str]) -> bool:
        """Whether the words for a place name a box: *in the middle box*."""
        words = (match.start() + one.start() for one in re.finditer(r"\w+", match.group()))
        return any(self.words.placed_box.match(text, place) for place in words)

    def _named_after(self, text: str, match: re.Match[str]) -> bool:
        """Whether *the box* has its number after it."""
        word = re.search(r"\w+$", match.group())
        return word is not None and self._house(text, match.start() + word.start()) is not None

    def _spot(self, text: str, place: int) -> Token | None:
        """The token for a cell's place in a house, or beside the last cell."""
        best = None
        for letter, regex, names in (
            ("L", self.words.where, self.words.spots),
            ("M", self.words.next_to, self.words.beside),
        ):
            match = regex.match(text, place)
            if match and self._in_a_house(text, match):
                continue
            if match and (best is None or match.end() > best.end):
                spot = names[_plainly(match.group())]
                counted = self._digit(text, match.end() + 1)
                side = _SIDE.match(text, match.end())
                if spot == "other" and (counted is not None or side):
                    continue  # *the other two* are cells
                best = Token(letter, match.group(), place, match.end(), spot=spot)
        return best

    def _house_named(self, kind: str, number: str) -> str:
        """The house of a kind and number, or a region's letter; empty if there is none."""
        return numbered_houses(self.canvas).get((kind, number.casefold()), "")

    def _sum(self, text: str, place: int) -> Token | None:
        """A number that is not a digit: *twenty-one*, *15(2)* for fifteen in two cells."""
        match = self.words.sums.match(text, place) or _IN_CELLS.match(text, place)
        if match is None or len(self.canvas.digits) > 9:
            return None
        return Token("U", match.group(), place, match.end())

    def _digit(self, text: str, place: int) -> Token | None:
        match = _WORD.match(text, place)
        if match is None:
            return None
        word = match.group().casefold()
        end = match.end()
        if word.endswith("'s") and word[:-2] in self.words.numbers:
            word, end = word[:-2], end - 2
        measured = self.words.measures.match(text, end) and not _TAKEN.search(text[:place])
        if measured and (word in self.words.numbers or word.isdigit()):
            return None
        number = self.words.numbers.get(word)
        many = word.endswith("s")  # *the sevens places one at …*
        if number is not None and not many and self.words.counted.match(text, end):
            return None
        if word.isdigit() and _PLURAL.match(text, end):
            end += 1
        if word.isdigit() and not self.spoken and _JOINED_TO.match(text, end):
            return None  # *3x*, *4th*
        several = self.words.one_of.match(text, place)
        if several:
            return Token("w", "one of", place, several.end())
        symbols = [str(number)] if number is not None else []
        if word.isdigit():
            symbols = [word] if len(self.canvas.digits) > 9 else list(word)
        if not symbols or any(symbol not in self.canvas.reader for symbol in symbols):
            return None
        if len(set(symbols)) < len(symbols):  # no list of digits, but a number
            return Token("U", text[place:end], place, end)
        digits = tuple(self.canvas.reader[symbol] for symbol in symbols)
        return Token("D", text[place:end], place, end, digits=digits)


def _plainly(words: str) -> str:
    return " ".join(words.casefold().split())


def _house_token(match: re.Match[str], house: str) -> Token | None:
    """The token of a house, if there is one."""
    if not house:
        return None
    return Token("H", match.group(), match.start(), match.end(), house=house)
