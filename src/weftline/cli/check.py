"""``weftline check``: whether the piece hangs together, its edges match and nothing floats too far."""

from __future__ import annotations

from weftline.cli.answers import answer_json, end_with, finding_lines, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_project


def check(project: ProjectArgument, json: JsonOption = False) -> None:
    """Look for what stops a piece and what a weaver should know; exit code 1 if anything stops it."""
    from weftline.core.plan.plan import plan as plan_of
    from weftline.formats.plan_json import finding_data

    found = plan_of(read_project(project))
    if json:
        answer_json({"stops": found.stops, "findings": [finding_data(finding) for finding in found.findings]})
    else:
        for line in finding_lines(found.findings) if found.findings else ["Nothing to note."]:
            say(line)
    end_with(found.stops)
