"""What was woven: the weaver's log and the cloth that it tells of; read back, the band finder.

Nouns: a *woven line* is what was thrown in one round of the sheds; a *stretch* is a run of woven
lines in the same sheds and beat; a *shape* is how a band mirrors and repeats its written lines;
an *arm* is how far a mirror holds on both sides of its middle; a *slip* is a pick that differs from
those that a symmetry makes its equals; a *motif* is a group of lines that comes again. Of the log: a
*throw* is one pick of one strip; a *stand* is where the weaver is in the plan; a *mark* is a note or
measurement; what is *held* was recorded by another device and waits for a choice.

Units: lines and picks are counted from 0, throws from 1; lengths of descriptions are words that a
weaver writes.
May import: ``piece``, ``weave``, numpy.
"""
