"""All that the bench compares. One line more here, and another detector stands in the table."""

from __future__ import annotations

from bench import filter as own
from bench.asking import Asker
from bench.peers import PEERS, Detector

DETECTORS: dict[str, Detector] = {"filter": own.evidence, **PEERS}

ASKERS: dict[str, Asker] = {"filter": own.asks}
"""Detectors that know by themselves when to ask for a score."""
