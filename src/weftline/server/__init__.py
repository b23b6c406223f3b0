"""The workbench: a web application on this machine alone, for one weaver and all of their devices' windows.

Nouns: a *desk* is what the routes ask for pieces and give changes to; a *page* is the view values
that a template shows; the *guard* stands before everything. Routes ask and answer, presenters
(``pages``) turn plans into view values, templates show them. No logic of the weave lives here.
"""
