"""The fields of a puzzle file, as models: what may stand where, before any of it is understood."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from gridassay.encodings.grid import LARGEST, SMALLEST


class GridDocument(BaseModel):
    """One ``[[grid]]`` of several on a canvas."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    name: str | None = Field(default=None, min_length=1, description="A, B, … in order by default")
    at: str = Field(default="r1c1", description="its top left cell")
    size: int = Field(ge=SMALLEST, le=LARGEST)
    box: str | None = Field(default=None, description="rows x columns, or 'none'")
    regions: str | None = Field(default=None, description="one letter per cell, instead of box")


class Document(BaseModel):
    """A puzzle file."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    title: str = ""
    credit: str = ""
    expect: Literal["unique", "multiple", "none"] | None = Field(
        default=None, description="the verdict that is expected"
    )
    size: int | None = Field(default=None, ge=1, le=LARGEST)
    box: str | None = Field(
        default=None, description="rows x columns; the squarest by default; 'none' for no boxes"
    )
    regions: str | None = Field(default=None, description="one letter per cell, instead of box")
    digits: list[int] | Literal["none"] | None = Field(
        default=None, description="instead of 1 to size; 'none' for a canvas without digits"
    )
    rows: int | None = Field(default=None, ge=1, description="of a bare canvas")
    columns: int | None = Field(default=None, ge=1, description="of a bare canvas")
    houses: Literal["none"] | None = Field(default=None, description="a bare canvas")
    grid: list[GridDocument] = Field(default=[], description="several grids on one canvas")
    givens: str = Field(
        default="", description="one symbol per cell; '.' for a cell without a given"
    )
    letters: Literal["different"] | None = Field(
        default=None, description="different letters stand for different numbers"
    )
    doublers: dict[str, Any] | None = Field(
        default=None, max_length=0, description="an empty table: there are doublers to find"
    )
    layer: list[dict[str, Any]] = Field(
        default=[], description="unknowns besides the digits, each of some kind"
    )
    rule: list[dict[str, Any]] = Field(default=[], description="the rules, each of some kind")
