"""Answers on standard output: JSON alone, or sentences."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weftline.core.findings import Finding

SIGNS = {"stop": "STOP", "warn": "look", "note": "note"}


def say(line: str, *, end: str = "\n") -> None:
    """Print a line; characters that would steer a terminal are left out."""
    typer.echo("".join(letter for letter in line if letter.isprintable()) + end, nl=False)


def answer_json(data: Any) -> None:
    """Print data as JSON and nothing else."""
    typer.echo(json.dumps(data, ensure_ascii=False, indent=1))


def finding_lines(findings: Iterable[Finding]) -> Iterable[str]:
    """Yield findings as a person reads them: how much it matters, what and where, what would be right."""
    for finding in findings:
        where = finding.where
        places = [where.section, where.strip, where.band, where.line and f"line {where.line}"]
        place = ", ".join(str(part) for part in places if part)
        yield f"{SIGNS[finding.severity]:5} {f'{place}: ' if place else ''}{finding.message}"
        yield f"      {finding.remedy}"


def end_with(stops: bool) -> None:
    """End the command: 1 if a finding stops the piece, else 0."""
    raise typer.Exit(1 if stops else 0)
