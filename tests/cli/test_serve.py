"""The message of `gridassay serve` when it cannot serve."""

import socket
import subprocess
import sys

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


def test_without_its_packages_it_says_how_to_get_them():
    ended = served('sys.modules["starlette"] = None')
    assert ended.returncode == 2
    assert ended.stderr == (
        "gridassay: the page needs two more packages: pip install 'gridassay[web]'\n"
    )


def test_a_port_that_is_taken_is_one_line():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        ended = served(port=port)
    assert ended.returncode == 2
    assert ended.stderr.startswith(f"gridassay: cannot listen at 127.0.0.1, port {port}: ")
    assert ended.stderr.count("\n") == 1
