"""Codes of lots, jars and orders, as they are typed, scanned and printed."""

from rushlight.store.codes import check, jar_code, order_code, stock_code

__all__ = ["check", "jar_code", "order_code", "stock_code"]
