"""The handover (`handover`) with the words it explains, its sheet for a sale (`transfer_sheet`), its dates
(`calendar`).
"""
