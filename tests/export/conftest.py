"""Outside readers that have no wheels for some machines: their tests are left out there."""

from importlib.util import find_spec

_READERS = {"test_step.py": "OCP", "test_ifc.py": "ifcopenshell"}

collect_ignore = [test for test, reader in _READERS.items() if find_spec(reader) is None]
