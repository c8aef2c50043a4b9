"""Every peer counts what gridassay counts; the contest does not accept one that does not."""

from __future__ import annotations

import pytest

from benchmarks import contest, peers
from benchmarks.corpora import known_verdicts, lines
from benchmarks.peers import PEERS


@pytest.mark.parametrize("name", PEERS)
@pytest.mark.parametrize("corpus", ["hard9", "damaged9"])
def test_a_peer_counts_what_is_known(name: str, corpus: str) -> None:
    for library in ("clingo", "cpmpy", "z3"):
        if library in name.lower():
            pytest.importorskip(library)
    count = PEERS[name]()
    assert "".join("num"[count(line)] for line in lines(corpus)[:3]) == known_verdicts(corpus)[:3]


def test_a_peer_with_another_verdict_gets_no_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(contest, "PEERS", {"gridassay": peers.PEERS["gridassay"]})
    assert len(contest.contest("hard9", 2, 1)[0]["each"]) == 2
    monkeypatch.setattr(contest, "known_verdicts", lambda corpus: "mm")
    with pytest.raises(AssertionError, match="gridassay gives other verdicts on hard9"):
        contest.contest("hard9", 2, 1)
