"""What several documents say alike: look and head, roof and layers, products, levels and coverages, photos, care,
what to do next, what is missing, where something stands on record; and how text is measured and made CSV.
"""
