"""The command line: each command parses, calls the core, presents.

Exit codes: 0 fine, 1 a ``stop`` finding, 2 the input or the call was wrong. With ``--json``
standard output holds only that.
"""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line; anything wrong with the input ends in one sentence and exit code 2."""
    from weftline.errors import WeftlineError

    try:
        from weftline.cli.app import app

        app(prog_name="weftline")
    except WeftlineError as cause:
        print(cause if cause.hint is None else f"{cause} ({cause.hint})", file=sys.stderr)
        sys.exit(2)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
