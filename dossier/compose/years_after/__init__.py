"""After the closing: claim answer, inspection sheet, letter to a maker, notices of a sale, slip of an entry."""
