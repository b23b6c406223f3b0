"""The workbench on a store in memory, asked without a socket."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from tests.fakes import fake_services
from weftline.server.app import create_app
from weftline.server.demos import demo_projects
from weftline.server.desk import Desk, Hand, fresh_id

BASE = "http://127.0.0.1:8000"
HTML = {"accept": "text/html"}
JSON = {"accept": "application/json"}


@dataclass
class Bench:
    """An application, a browser at it, and the desk behind it."""

    app: FastAPI
    browser: TestClient
    others: list[TestClient] = field(default_factory=list)

    @property
    def desk(self) -> Desk:
        found: Desk = self.app.state.workbench.desk
        return found

    def another_browser(self) -> TestClient:
        """Another browser, which has cookies of its own."""
        return TestClient(self.app, base_url=BASE, follow_redirects=False)

    def piece(self, demo: str = "kneeling-pad", name: str | None = None) -> str:
        """Make a piece of a demo."""
        project = demo_projects(demo)[demo]
        if name is not None:
            project = project.model_copy(update={"name": name})
        return self.desk.create(project, Hand("maker", fresh_id(), 0))

    def send(self, path: str, base: int = 0, entry: str | None = None, **fields: object) -> tuple[int, str]:
        """Send a form; return the status and where it leads, or what it says."""
        data = {"entry": entry or fresh_id(), "base": base, **fields}
        answer = self.browser.post(path, data=data, headers=JSON)
        found = answer.json()
        return answer.status_code, str(found.get("href") or found.get("detail"))


@pytest.fixture
def bench() -> Iterator[Bench]:
    """A workbench with nothing on it."""
    app = create_app(fake_services(), nonce="this one")
    with TestClient(app, base_url=BASE, follow_redirects=False) as browser:
        yield Bench(app, browser)
