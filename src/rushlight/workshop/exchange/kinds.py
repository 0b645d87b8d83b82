"""The kinds of list that can come in, the fields of each, and what their columns may be called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from rushlight.errors import NotFound


class Sort(StrEnum):
    """How the cells of a field are read."""

    TEXT = "text"
    NOTE = "note"  # may have several lines
    AMOUNT = "amount"  # a mass or pieces, as the material is kept
    MONEY = "money"
    DAY = "day"
    COUNT = "count"
    FACT = "fact"  # a fact of a material: the candle reads it


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of an import. words: what makers call such a column."""

    key: str
    label: str
    sort: Sort
    needed: bool = False
    words: tuple[str, ...] = ()
    hint: str = ""


def _field(key: str, label: str, sort: Sort, words: str, hint: str = "") -> Field:
    """Return a field; its words part at commas, and the label ends in * where it is needed."""
    said = (label.rstrip("*"), *(w.strip() for w in words.split(",") if w.strip()))
    return Field(
        key=key,
        label=said[0],
        sort=sort,
        needed=label.endswith("*"),
        words=said,
        hint=hint,
    )


_UNIT: Final = _field("unit", "Unit", Sort.TEXT, "units,measured in", "of amounts without one")
_FACTS: Final = (
    ("flash_point", "Flash point", "flash,fp,flashpoint"),
    ("flash_method", "Flash point method", "flash method"),
    ("density", "Density", "oil density,specific gravity,sg"),
    ("density_hot", "Density when melted", "density hot,hot density,density melted,liquid density"),
    ("density_set", "Density when set", "density set,set density,solid density"),
    ("melt", "Melt and hold", "melt,melting range,heat to"),
    ("add", "Add fragrance at", "add,add fragrance,fragrance temperature,add scent at"),
    ("pour", "Pour at", "pour,pour temperature,pouring temperature,pour range"),
    ("cure", "Cure", "cure time,curing time,curing"),
    ("max_load", "Most fragrance", "max load,maximum load,max fragrance load,fragrance load"),
    ("melts_at", "Melting point", "melts at,melt point,mp"),
    ("drop_mass", "One drop", "drop mass,drop weight,mass of a drop"),
    ("block_mass", "One block", "block mass,block weight"),
    ("brim", "Volume to the brim", "brim,brimful,brim volume,overflow volume,capacity"),
    ("height", "Inner depth", "depth,inner height"),
    ("diameter", "Inner diameter", "diameter at the rim,inner diameter at the rim"),
    ("wall", "Wall", "wall thickness"),
    ("base", "Base", "base thickness"),
    ("material", "Made of", "glass or tin"),
    ("core", "Core", "wick core"),
    ("trim", "Trim", "trim above the wax,wick trim"),
    ("suits", "Suits a diameter of", "suits,for diameter"),
    ("burn_rate", "Burn rate", "it burns,burns"),
)
FACT: Final = "fact."
"""What the key of a fact begins with."""

MATERIALS: Final = (
    _field("role", "For*", Sort.TEXT, "role,type,category,group,sort", "wax, fragrance, wick …"),
    _field("name", "Name*", Sort.TEXT, "material,item,product,description,material name,item name"),
    _field("kind", "Kind", Sort.TEXT, "built-in kind,kind of wax", "it falls back on its facts"),
    _field("measure", "Counted by", Sort.TEXT, "measure", "mass or pieces"),
    _field("low_at", "Low at", Sort.AMOUNT, "reorder at,reorder level,minimum,min stock,low"),
    _field("supplier", "Supplier", Sort.TEXT, "vendor,bought from,from,supplier name"),
    _field("pack", "Pack", Sort.AMOUNT, "pack size,size,size of pack,package"),
    _field("price", "Pack price", Sort.MONEY, "price,price a pack,price per pack,cost per pack"),
    _field("from_packs", "From packs", Sort.COUNT, "from how many packs,minimum packs,tier"),
    _field("since", "Price since", Sort.DAY, "price date,since,price from"),
    _field("on_hand", "On hand", Sort.AMOUNT, "in hand,stock,in stock,quantity,qty,on stock"),
    _field("worth", "Cost of what is on hand", Sort.MONEY, "stock value,value,worth,stock cost"),
    _field("supplier_lot", "Supplier lot", Sort.TEXT, "lot,batch,lot number,batch number,lot code"),
    _field("expires", "Expires", Sort.DAY, "expiry,expiry date,best before,use by,expires on"),
    _field("note", "Note", Sort.NOTE, "notes,remark,remarks,comment,comments"),
    _UNIT,
    *(_field(FACT + key, label, Sort.FACT, words) for key, label, words in _FACTS),
)

DELIVERIES: Final = (
    _field("day", "Day*", Sort.DAY, "date,delivered,delivery date,received,received on,arrived"),
    _field("supplier", "Supplier*", Sort.TEXT, "vendor,bought from,from,supplier name"),
    _field("reference", "Reference", Sort.TEXT, "invoice,invoice number,delivery note,delivery"),
    _field("material", "Material*", Sort.TEXT, "item,product,name,description,material name"),
    _field("packs", "Packs*", Sort.COUNT, "number of packs,quantity,qty,how many"),
    _field("pack", "Pack*", Sort.AMOUNT, "pack size,size,size of pack,package"),
    _field("price", "Pack price", Sort.MONEY, "price,price a pack,price per pack,cost per pack"),
    _field("supplier_lot", "Supplier lot", Sort.TEXT, "lot,batch,lot number,batch number,lot code"),
    _field(
        "expires", "Expires", Sort.DAY, "expiry,expiry date,best before,use by,retest,expires on"
    ),
    _field("date_kind", "Kind of date", Sort.TEXT, "date kind", "expiry or retest"),
    _field("freight", "Freight", Sort.MONEY, "carriage,shipping,postage,delivery cost"),
    _field("freight_by", "Freight spread by", Sort.TEXT, "freight by", "value or mass"),
    _field("duty", "Duty", Sort.MONEY, "import duty,customs,customs duty"),
    _field("duty_by", "Duty spread by", Sort.TEXT, "duty by", "value or mass"),
    _field("note", "Note", Sort.NOTE, "notes,remark,remarks,comment,comments"),
    _UNIT,
)

ORDERS: Final = (
    _field(
        "order", "Order", Sort.TEXT, "order number,order id,reference", "keeps its lines together"
    ),
    _field("channel", "Channel*", Sort.TEXT, "sold through,sales channel,where"),
    _field("buyer", "Buyer", Sort.TEXT, "customer,client,customer name,buyer name,sold to"),
    _field("contact", "Contact", Sort.TEXT, "email,e-mail,phone,telephone,address,buyer contact"),
    _field("placed", "Placed*", Sort.DAY, "date,day,order date,ordered,ordered on,placed on"),
    _field("due", "Due", Sort.DAY, "due date,due on,send by,wanted by"),
    _field("candle", "Candle*", Sort.TEXT, "product,item,name,candle name,description"),
    _field("jars", "Jars*", Sort.COUNT, "quantity,qty,number,pieces,how many,number of jars"),
    _field("price", "Price a jar*", Sort.MONEY, "price,price each,unit price,price per jar,each"),
    _field("note", "Note", Sort.NOTE, "notes,remark,remarks,comment,comments"),
)

KINDS: Final[Mapping[str, tuple[Field, ...]]] = {
    "materials": MATERIALS,
    "deliveries": DELIVERIES,
    "orders": ORDERS,
}


def fields(kind: str) -> tuple[Field, ...]:
    """Return the fields of a kind of import; NotFound."""
    found = KINDS.get(kind)
    if found is None:
        raise NotFound(f"“{kind[:40]}” cannot be imported; {', '.join(KINDS)} can.")
    return found
