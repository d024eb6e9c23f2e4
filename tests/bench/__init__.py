"""A bench of invented diaries: how soon a filter of daily grades finds that a horse is getting worse.

`python -m tests.bench` fits every detector to the same rate of false alarms and prints one table.
"""
