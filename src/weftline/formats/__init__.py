"""Formats: text and bytes to core values and back; no paths, no sockets.

``native`` is the project file, ``plan_json`` the plan as data, ``steps_csv`` the steps as a table,
``png`` a picture as bytes.
"""
