"""The engineering, held against definitions, handbooks and hand-worked examples."""
