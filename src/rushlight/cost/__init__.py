"""What a jar costs and what to charge for it.

Money and amounts are `Decimal` throughout and rounded only where they are
shown or paid; shares of money paid are exact to 1/10 000 of the currency.
"""
