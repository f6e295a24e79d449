"""Practice logs: tables with one row a ball, as a radar, a spreadsheet or a notebook has them."""

from __future__ import annotations
