"""The message of `gridassay serve` when it cannot serve."""

import socket
import subprocess
import sys

import pytest

CODE = """
import sys
{before}
sys.argv = ["gridassay", "serve", "--no-open", "--port", "{port}"]
from gridassay.verify.cli import main
main()
"""


def served(before="", port=0):
    code = CODE.format(before=before, port=port)
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)


def test_a_port_that_is_taken_is_one_line():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        ended = served(port=port)
    assert ended.returncode == 2
    assert ended.stderr.startswith(f"gridassay: cannot listen at 127.0.0.1, port {port}: ")
    assert ended.stderr.count("\n") == 1


@pytest.mark.parametrize(("host", "way"), [("127.0.0.1", "--host 0.0.0.0"), ("0.0.0.0", "")])
def test_it_says_in_one_line_how_far_it_reaches(host, way):
    code = "from gridassay.verify.cli import main; main()"
    command = [sys.executable, "-c", code, "serve", "--no-open", "--port", "0", "--host", host]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            first, second = (server.stdout.readline() for _ in range(2))
        finally:
            server.terminate()
    assert first.startswith(f"gridassay: the page is at http://{host}:")
    assert way in second
    assert "without a password" in second
