"""Runs the pages' scripts in node."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any, Final

HERE: Final = Path(__file__).parent
ROOT: Final = HERE.parents[1]
NODE: Final = shutil.which("node") or str(ROOT / ".venv-test" / "bin" / "node")


def told(script: str, given: Any) -> Any:
    """What a script of this folder writes, given JSON."""
    done = subprocess.run(
        [NODE, str(HERE / script)], input=json.dumps(given), capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


def evaluated(code: str) -> Any:
    """What a line of code writes."""
    done = subprocess.run([NODE, "-e", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)
