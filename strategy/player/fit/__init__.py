"""Spreads of a player's shots, fitted from few balls."""

from __future__ import annotations
