"""The body held against published values: ``drillyard validate``.

Every answer is a written experiment on the public scripting interface (``experiments/``); nothing here reaches into
the body or changes a parameter.
"""
