"""Workers: how many there are, and that each can be stopped."""

import asyncio

import pytest

from gridassay.verify.web.workers import MOST_AT_ONCE, Busy, Desk, Worker

LONG = {"text": "." * 625, "budget": 60}


def test_hanging_up_ends_the_worker():
    async def story():
        desk = Desk()
        messages = desk.long("mend", LONG, 60)
        assert (await anext(messages))[0] == "told"
        (worker,) = desk._long
        await messages.aclose()
        assert not worker.alive
        assert not desk._long

    asyncio.run(story())


def test_there_is_a_limit_on_long_work():
    async def story():
        desk = Desk()
        under_way = [desk.long("mend", LONG, 60) for _ in range(MOST_AT_ONCE)]
        for messages in under_way:
            await anext(messages)
        with pytest.raises(Busy):
            await anext(desk.long("mend", LONG, 60))
        await under_way[0].aclose()
        again = desk.long("kin", {"text": "1......2..3..4..", "budget": 5}, 5)
        answers = [message async for message in again]
        assert answers[-1][0] == "answer"
        desk.close()

    asyncio.run(story())


def test_a_quick_worker_that_died_is_replaced():
    async def story():
        desk = Desk()
        body = {"text": "1......2..3..4.."}
        assert (await desk.quick("look", body))[0] == "answer"
        desk._lanes["look"]._worker.end()
        assert (await desk.quick("look", body))[0] == "answer"
        desk.close()

    asyncio.run(story())


def test_a_fault_of_ours_is_said_without_its_traceback(capfd):
    worker = Worker()
    worker.ask("no such question", {"text": "1......2..3..4.."})
    kind, said = asyncio.run(worker.hear(20))
    assert kind == "failed"
    assert "Traceback" not in said
    worker.end()
