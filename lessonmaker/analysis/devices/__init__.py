"""The devices of a line, one module a family; each finder is a pure function from an `Etude` to its devices."""
