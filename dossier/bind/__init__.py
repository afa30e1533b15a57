"""PDF parts into finished PDFs: conformance, order, bookmarks, papers."""
