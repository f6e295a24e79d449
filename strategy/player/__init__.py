"""The player: clubs, shots, spreads, lies."""

from strategy.player.model import LieEffect, Player, Shot, Spread
from strategy.player.read import read_player

__all__ = ["LieEffect", "Player", "Shot", "Spread", "read_player"]
