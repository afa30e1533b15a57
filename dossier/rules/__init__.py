"""The rule book: each rule one declaration, with its sentence, reason, source and examples."""
