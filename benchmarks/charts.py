"""The charts of the page, as SVG and PNG: cactus plot, encoding heat map, growth."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import matplotlib as mpl
from matplotlib.figure import Figure

Results = dict[str, Any]

OKABE_ITO = ("#000000", "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9")
"""A palette that colour-blind readers can tell apart (Okabe and Ito 2008)."""
DASHES = ("-", "--", "-.", ":", (0, (5, 1)), (0, (3, 1, 1, 1)), (0, (1, 1)))
MARKS = "osD^vPX"

mpl.rcParams["svg.fonttype"] = "none"
mpl.rcParams["svg.hashsalt"] = "gridassay"
mpl.rcParams["font.size"] = 9


def cactus(results: Results) -> Figure:
    """How many puzzles each peer answers within a number of milliseconds for each."""
    figure = Figure(figsize=(7, 4), layout="constrained")
    axes = figure.subplots()
    chosen = [line for line in results["peers"] if line["corpus"] == "hard9"]
    for number, line in enumerate(chosen):
        times = sorted(1e3 * seconds for seconds in line["each"])
        shares = [100 * (place + 1) / len(times) for place in range(len(times))]
        every = max(1, len(times) // 10)
        axes.plot(times, shares, label=line["peer"], markevery=every, **_look(number))
    axes.set(
        xscale="log",
        xlabel="processor time for a verdict, milliseconds",
        ylabel="% of hard9 answered within it",
    )
    axes.legend(fontsize=8, loc="lower right")
    axes.grid(alpha=0.3)
    return figure


def heat_map(results: Results) -> Figure:
    """The time of at-most-one encodings by solver, as ratios to the configured cell."""
    measured = {cell["corpus"] for cell in results["cells"] if cell["kind"] == "AtMostOne"}
    corpora = [corpus for corpus in ("hard9", "large16", "large25") if corpus in measured]
    figure = Figure(figsize=(10, 5), layout="constrained")
    panels = figure.subplots(1, len(corpora), squeeze=False)[0]
    for place, (axes, corpus) in enumerate(zip(panels, corpora, strict=True)):
        cells = {
            (cell["solver"], cell["encoding"]): cell["ratio"]
            for cell in results["cells"]
            if cell["corpus"] == corpus and cell["kind"] == "AtMostOne" and "ratio" in cell
        }
        solvers = sorted({solver for solver, _ in cells})
        encodings = list(dict.fromkeys(encoding for _, encoding in cells))
        values = [[cells.get((s, e), float("nan")) for e in encodings] for s in solvers]
        axes.imshow(values, cmap="cividis_r", norm="log", aspect="auto", vmin=0.5, vmax=50)
        axes.set_xticks(range(len(encodings)), encodings, rotation=60, ha="right")
        axes.set_yticks(range(len(solvers)), [] if place else solvers)
        axes.set_title(f"{corpus}: × the configured cell", fontsize=9)
        for row, line in enumerate(values):
            for column, value in enumerate(line):
                if value == value:
                    shade = "white" if value > 5 else "black"
                    axes.text(
                        column, row, f"{value:.2g}", ha="center", va="center", size=7, color=shade
                    )
    return figure


def growth(results: Results) -> Figure:
    """Clauses, building with loading, and the answer by size, on log-log paper."""
    figure = Figure(figsize=(10, 4), layout="constrained")
    panels: tuple[tuple[str, Callable[[Results], list[float]]], ...] = (
        ("clauses", lambda line: line["clauses"]),
        (
            "milliseconds to build and load",
            lambda line: [
                1e3 * sum(pair) for pair in zip(line["build"], line["load"], strict=True)
            ],
        ),
        ("milliseconds for a verdict", lambda line: [1e3 * value for value in line["answer"]]),
    )
    for axes, (name, values) in zip(figure.subplots(1, 3), panels, strict=True):
        for number, line in enumerate(results["growth"]):
            axes.plot(line["sizes"], values(line), label=line["encoding"], **_look(number))
        axes.set(xscale="log", yscale="log", xlabel="size of the grid", title=name)
        axes.set_xticks(line["sizes"], [str(size) for size in line["sizes"]], minor=False)
        axes.set_xticks([], minor=True)
        axes.grid(alpha=0.3)
    axes.legend(fontsize=7)
    return figure


def _look(number: int) -> dict[str, Any]:
    place = number % len(OKABE_ITO)
    return {
        "color": OKABE_ITO[place],
        "linestyle": DASHES[place],
        "marker": MARKS[place],
        "markersize": 3,
        "linewidth": 1.2,
    }


CHARTS: dict[str, tuple[str, Callable[[Results], Figure]]] = {
    "cactus": ("peers", cactus),
    "encodings": ("cells", heat_map),
    "growth": ("growth", growth),
}
"""Each chart with the section of the results from which it is drawn."""


def draw(results: Results, folder: Path) -> None:
    """Write every chart whose section has been measured."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, (section, chart) in CHARTS.items():
        if results.get(section):
            figure = chart(results)
            figure.savefig(folder / f"{name}.svg", metadata={"Date": None})
            figure.savefig(folder / f"{name}.png", dpi=100)
