"""The piece: what a weaver wrote down, as frozen values, and what it expands to.

Nouns: a *project* holds yarns, a warp and *sections*; a section has *strips* side by side; a strip
has *bands* of written *lines*. ``values`` holds the project exactly as written (a key that was left
out stays left out), ``settings`` gives every number its default and its basis, ``written`` reads
the lines against sheds and yarns, ``expansion`` turns bands into picks, ``laying`` lays strips on
the threaded ends, ``cloth`` puts it together.

May import: ``weave``, ``yarn``, ``findings``, numpy, pydantic.
"""
