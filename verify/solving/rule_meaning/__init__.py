"""The strikes and the sure digits of a rule, read from its meaning and never its
kind.
"""
