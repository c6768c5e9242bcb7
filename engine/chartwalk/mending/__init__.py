"""Putting right what real sheets leave out or get wrong, whatever kind of file they come in.

Road signs that can't be walked, bars of the wrong length, words that are signs; each mend is told
in a notice that names its bar.
"""
