"""What was woven, read back: the band finder.

Nouns: a *woven line* is what was thrown in one round of the sheds; a *stretch* is a run of woven
lines in the same sheds and beat; a *shape* is how a band mirrors and repeats its written lines;
an *arm* is how far a mirror holds on both sides of its middle; a *slip* is a pick that differs from
those that a symmetry makes its equals; a *motif* is a group of lines that comes again.

Units: lines and picks are counted from 0; lengths of descriptions are words that a weaver writes.
May import: ``piece``, ``weave``, numpy.
"""
