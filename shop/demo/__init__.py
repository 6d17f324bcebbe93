"""The demonstration: an invented forge with its steel, pieces, customers and orders."""

from shop.demo.load import load, main_order
from shop.demo.scenario import SHOP_NAME
from shop.demo.show import Shown, show

__all__ = ["SHOP_NAME", "Shown", "load", "main_order", "show"]
