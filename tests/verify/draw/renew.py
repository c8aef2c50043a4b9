"""Take over the golden pictures, once they have been looked at: ``python -m tests.verify.draw.renew``."""

from __future__ import annotations

from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.svg import svg

from .pictures import EXAMPLES, puzzle_of
from .test_route_views import VIEWS, drawn_view
from .test_scene import GOLDEN

for path in GOLDEN.glob("*.svg"):
    drawn = with_margin(picture(puzzle_of(EXAMPLES / f"{path.stem}.toml")))
    path.write_text(svg(drawn) + "\n", encoding="utf-8")

for name in VIEWS:
    (GOLDEN / "views" / f"{name}.svg").write_text(drawn_view(name) + "\n", encoding="utf-8")
