"""Sample workbooks: invented horses, people and stories, kept the way a person keeps them.

Each is built from a seed; `python -m sample_workbooks.build` writes them all again.
"""
