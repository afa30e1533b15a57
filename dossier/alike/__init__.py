"""Two PDFs held against each other: pages as text and as pictures, attachments, and all else they carry."""
