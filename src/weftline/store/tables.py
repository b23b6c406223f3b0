"""The tables as this version of Weftline uses them; ``migrations`` makes them."""

from __future__ import annotations

from sqlalchemy import Column, Integer, LargeBinary, MetaData, Table, Text

METADATA = MetaData()

ENTRIES = Table(
    "entries",
    METADATA,
    Column("project", Text, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("id", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("base_seq", Integer, nullable=False),
    Column("device", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("payload", Text, nullable=False),
)
"""Everything that ever happened; the truth."""

PROJECTS = Table("projects", METADATA, Column("id", Text, primary_key=True))
"""Every stream that has entries."""

SNAPSHOTS = Table(
    "snapshots",
    METADATA,
    Column("project", Text, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("state", LargeBinary, nullable=False),
)
"""Cache: states, pressed together by zlib."""

SUMMARIES = Table(
    "summaries",
    METADATA,
    Column("project", Text, primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("summary", Text, nullable=False),
)
"""Cache: one line about each stream."""
