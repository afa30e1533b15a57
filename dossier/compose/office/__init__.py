"""Beside the handover: the office in figures (`office_page`), the contact sheet of a heap (`contact_sheet`), and
the insurer’s scope beside this roof (`scope_comparison`), for its owner to show.
"""
