"""For the office alone: figures of a year, the contact sheet of a heap, the insurer’s scope beside this roof."""
