"""Style files: TOML that fixes colours, dashes and fonts for a book.

Everything in one may be left out::

    base = "light"                     # or "dark": everything else is taken from there
    paper = "#ffffff"
    ink = "#14161a"
    palette = ["#0072b2", "#d55e00"]   # of cages and marks, given out in order of appearance
    lines = ["#56606b", "#85796a"]     # of lines, likewise
    widths = [1, 0.66, 1.3]            # of lines, in shares of the ordinary width
    dashes = [[3, 2], [1, 1.7]]        # on and off, in widths of the line
    hatches = [45, 135]                # degrees

    [font]
    family = "Atkinson Hyperlegible"   # as SVG names it
    regular = "MyFont-Regular.ttf"     # for PDF and PNG, next to the style file
    bold = "MyFont-Bold.ttf"

    [rule.thermometer]                 # a kind that looks the same throughout the book
    colour = "#009e73"
    dash = [4, 2]
    hatch = 0
    width = 1.3
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rule_words import meant
from gridassay.encodings.rules import every_rule
from gridassay.verify.draw.colour import TEXT, channels, contrast
from gridassay.verify.draw.style import DARK, LIGHT, FixedLook, Font, Style


def _is_colour(text: str) -> str:
    channels(text)
    return text.lower()


Colour = Annotated[str, AfterValidator(_is_colour)]
Length = Annotated[float, Field(gt=0, le=100)]
Width = Annotated[float, Field(ge=0.2, le=2)]


class _StyleTable(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class FontDocument(_StyleTable):
    """``[font]``."""

    family: str = LIGHT.font.family
    regular: str | None = None
    bold: str | None = None


class LookDocument(_StyleTable):
    """``[rule.KIND]``."""

    colour: Colour | None = None
    dash: tuple[Length, ...] | None = None
    hatch: float | None = None
    width: Width | None = None


class StyleDocument(_StyleTable):
    """A style file."""

    base: Literal["light", "dark"] = "light"
    paper: Colour | None = None
    ink: Colour | None = None
    palette: tuple[Colour, ...] | None = Field(default=None, min_length=1)
    lines: tuple[Colour, ...] | None = Field(default=None, min_length=1)
    widths: tuple[Width, ...] | None = Field(default=None, min_length=1)
    dashes: tuple[tuple[Length, ...], ...] | None = Field(default=None, min_length=1)
    hatches: tuple[float, ...] | None = Field(default=None, min_length=1)
    font: FontDocument = FontDocument()
    rule: dict[str, LookDocument] = {}


_DOCUMENTS = (StyleDocument, FontDocument, LookDocument)


def read_style(path: str) -> Style:
    """Read a style file. Raises PuzzleError, in one line, if it is not one."""
    try:
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        said = (error.strerror or str(error)).lower() if isinstance(error, OSError) else ""
        reason = said or "it is not text in UTF-8"
        raise PuzzleError(f"cannot be read: {reason}", path) from None
    try:
        document = StyleDocument.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise PuzzleError(f"not TOML: {error}", path) from None
    except RecursionError:
        raise PuzzleError("the file is nested too deeply", path) from None
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        key = ".".join(map(str, first["loc"]))
        if first["type"] == "extra_forbidden":
            known = [name for one in _DOCUMENTS for name in one.model_fields]
            guess = meant(str(first["loc"][-1]), known)
            raise PuzzleError(f"{key}: there is no such key{guess}", path) from None
        message = first["msg"].removeprefix("Value error, ")
        raise PuzzleError(f"{key}: {message[:1].lower()}{message[1:]}", path) from None
    except ValueError:  # more figures than Python turns into a number
        raise PuzzleError("a number in it is too long", path) from None
    for kind in document.rule:
        if kind not in every_rule():
            guess = meant(kind, every_rule())
            raise PuzzleError(f"rule.{kind}: there is no such kind of rule{guess}", path)
    style = replace(DARK if document.base == "dark" else LIGHT, **dict(_settings(document, path)))
    if contrast(style.ink, style.paper) < TEXT:
        raise PuzzleError(
            f"ink: {style.ink} on {style.paper} cannot be read: their contrast is "
            f"{contrast(style.ink, style.paper):.1f}, but text needs {TEXT}",
            path,
        )
    return style


def _settings(document: StyleDocument, path: str) -> Iterator[tuple[str, Any]]:
    for key in ("paper", "ink", "palette", "lines", "widths", "dashes", "hatches"):
        value = getattr(document, key)
        if value is not None:
            yield key, value
    font = document.font
    files = [
        _font_file(name, key, path)
        for key, name in (("regular", font.regular), ("bold", font.bold))
    ]
    yield "font", Font(font.family, *files)
    yield (
        "fixed",
        {
            kind: FixedLook(look.colour, look.dash, look.hatch, look.width)
            for kind, look in document.rule.items()
        },
    )


def _font_file(name: str | None, key: str, path: str) -> Path | None:
    """The path of a font file, which is looked for next to the style file."""
    if name is None:
        return None
    file = Path(path).parent / name
    if not file.is_file():
        raise PuzzleError(f"font.{key}: there is no file {name}", path)
    return file
