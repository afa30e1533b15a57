"""The arithmetic of the trade: numbers in, numbers with their working out; pure and sourced.

In: exact numbers (int, Fraction, Decimal for money, `date` for days) and plain words. Out: frozen
results, each with a `Working` that a document can print. Must not know of files, records, terms
sheets, clocks or which reader asks. One module per topic; nothing here imports anything of ours
but this room.
"""
