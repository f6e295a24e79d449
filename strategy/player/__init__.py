"""The player: clubs, shots, spreads, lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from strategy.player.model import LieEffect, Player, Shot, Spread

if TYPE_CHECKING:
    from strategy.player.read import read_player

__all__ = ["LieEffect", "Player", "Shot", "Spread", "read_player"]


def __getattr__(name: str) -> Any:
    # Reading needs pydantic. The model, which every room imports, does not.
    if name == "read_player":
        from strategy.player.read import read_player

        return read_player
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
