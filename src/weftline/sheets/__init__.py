"""Sheets: the printed pattern, pages that someone who has never seen Weftline can weave from.

Nouns: a *document* is everything that the pages say, as plain data; a *figure* is a number as it is
printed, with what it rests on; a *stretch* is a run of lines that may come again; a *chip* is a
swatch of a yarn with its mark. Way of the data: plan -> document -> templates (``templates/*.typ``)
-> PDF bytes. Names of the weaver travel as data, never as markup. May import: ``core``,
``drawing``, Pillow, Typst.
"""
