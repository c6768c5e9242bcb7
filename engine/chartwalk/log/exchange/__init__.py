"""The log written out, and another machine's log taken in."""

from chartwalk.log.exchange.merge import Taken, take_in
from chartwalk.log.exchange.out import KINDS, write_out
from chartwalk.log.exchange.problems import ExchangeError

__all__ = ["KINDS", "ExchangeError", "Taken", "take_in", "write_out"]
