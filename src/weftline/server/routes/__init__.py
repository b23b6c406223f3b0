"""Routes, one file a resource: ask the desk, answer with a page, a picture or a way onwards."""
