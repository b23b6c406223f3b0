"""Where entries, snapshots and photographs lie; the only SQL.

It has the shape of ``services.ports`` and knows nothing of services. SQLite in one file: write-ahead
log, every commit on disk before it returns, one writer at a time across processes.
"""
