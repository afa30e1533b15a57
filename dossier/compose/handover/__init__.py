"""The handover (`handover`), its sheet for a sale (`transfer_sheet`), its dates (`calendar`)."""
