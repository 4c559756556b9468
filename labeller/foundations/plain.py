"""Dataclasses that cost nearly nothing to make: an answer at the table makes a hundred classes and uses half of them.

The library's own decorator writes and compiles six functions for each class, a third of a millisecond; a run of one question would
spend 35 ms on it. This one compiles ``__init__`` when the first of its kind is made, and shares the other functions. For people who
read, for type checkers, and for ``dataclasses.replace`` and ``fields``, the classes are dataclasses.
"""

# ruff: noqa: ANN001, ANN002, ANN003, ANN201, ANN202, ANN204, FBT003, ARG001 - type checkers see the library's own decorator

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass, field, replace
else:
    from operator import attrgetter

    _NONE = object()

    class _Field:
        """One field: its default, and whether ``__init__`` takes it and ``repr`` shows it."""

        __slots__ = ("default", "factory", "init", "shown")

        def __init__(self, default, factory, init, shown):
            self.default, self.factory, self.init, self.shown = default, factory, init, shown

    def field(*, default=_NONE, default_factory=_NONE, init=True, repr=True):  # noqa: A002 - the library's own names
        """Describe a field, as ``dataclasses.field`` does."""
        return _Field(default, default_factory, init, repr)

    class _LibraryFields:
        """The description the library itself keeps of a class, made when somebody asks for it."""

        __slots__ = ()

        def __get__(self, _instance, owner):
            import dataclasses  # noqa: PLC0415 - only who asks pays for it

            missing, found = dataclasses.MISSING, {}
            for name, one in owner.__plain_fields__.items():
                made = dataclasses.field(
                    default=missing if one.default is _NONE else one.default,
                    default_factory=missing if one.factory is _NONE else one.factory,
                    init=one.init,
                    repr=one.shown,
                )
                made.name, made.type = name, owner.__annotations__[name]
                made._field_type = dataclasses._FIELD  # noqa: SLF001 - what the library sets
                found[name] = made
            owner.__dataclass_fields__ = found
            return found

    def dataclass(*, frozen=False, slots=False, eq=True, order=False):
        """Make a class of annotated fields, as ``dataclasses.dataclass`` does; no inheritance of fields."""

        def make(cls):
            return _made(cls, frozen, slots, eq, order)

        return make

    def replace(changed, /, **changes):
        """Return a copy with some fields changed, as ``dataclasses.replace`` does."""
        for name, one in changed.__plain_fields__.items():
            if one.init and name not in changes:
                changes[name] = getattr(changed, name)
        return changed.__class__(**changes)

    def _made(cls, frozen, slots, eq, order):
        space = dict(cls.__dict__)
        fields = {}
        for name in space.get("__annotations__", ()):
            default = space.get(name, _NONE)
            if isinstance(default, _Field):
                del space[name]
                fields[name] = default
                if default.default is not _NONE and not slots:
                    space[name] = default.default
            else:
                fields[name] = _Field(default, _NONE, True, True)
                if slots:
                    space.pop(name, None)
        for base in cls.__bases__:
            if getattr(base, "__plain_fields__", None):
                raise TypeError(f"{cls.__name__}: fields are not inherited here. Use the library's own dataclass.")
        names = tuple(fields)
        space["__plain_fields__"] = fields
        space["__match_args__"] = tuple(name for name in names if fields[name].init)
        space["__dataclass_fields__"] = _LibraryFields()
        if slots:
            space["__slots__"] = names
            space.pop("__dict__", None)
            space.pop("__weakref__", None)
            space["__getstate__"], space["__setstate__"] = _get_state, _set_state
            if all(one.init for one in fields.values()) and not hasattr(cls, "__post_init__"):
                space["__reduce__"] = _reduce(_values(names))
        space.setdefault("__repr__", _repr)
        if frozen:
            space["__setattr__"], space["__delattr__"] = _refuse_set, _refuse_delete
        if eq:
            values = _values(names)
            space.setdefault("__eq__", _equal(values))
            if frozen:
                if space.get("__hash__") is None:
                    space["__hash__"] = _hash(values)
            else:
                space["__hash__"] = None
        if order:
            space.update(_orders(_values(names)))
        space["__init__"] = _first_init(frozen, slots)
        space.setdefault("__doc__", cls.__name__)
        made = type(cls)(cls.__name__, cls.__bases__, space)
        made.__qualname__ = cls.__qualname__
        return made

    def _first_init(frozen, slots):
        def __init__(self, *arguments, **named):  # noqa: N807 - it stands in for the real one
            cls = type(self)
            while "__plain_fields__" not in cls.__dict__:
                cls = cls.__base__
            cls.__init__ = _write_init(cls, frozen, slots)
            cls.__init__(self, *arguments, **named)

        return __init__

    def _write_init(cls, frozen, slots):
        fields = cls.__plain_fields__
        known = {"_none": _NONE, "_set": object.__setattr__}
        takes, does = ["self"], []
        for name, one in fields.items():
            value = name
            if one.init:
                if one.factory is not _NONE:
                    known[f"_make_{name}"] = one.factory
                    takes.append(f"{name}=_none")
                    value = f"_make_{name}() if {name} is _none else {name}"
                elif one.default is not _NONE:
                    known[f"_default_{name}"] = one.default
                    takes.append(f"{name}=_default_{name}")
                else:
                    takes.append(name)
            elif one.factory is not _NONE:
                known[f"_make_{name}"] = one.factory
                value = f"_make_{name}()"
            elif one.default is not _NONE:
                known[f"_default_{name}"] = one.default
                value = f"_default_{name}"
            else:
                continue
            if not frozen:
                does.append(f"self.{name} = {value}")
            elif slots:
                known[f"_put_{name}"] = cls.__dict__[name].__set__
                does.append(f"_put_{name}(self, {value})")
            else:
                does.append(f"_set(self, {name!r}, {value})")
        if hasattr(cls, "__post_init__"):
            does.append("self.__post_init__()")
        lines = "\n ".join(does or ["pass"])
        exec(f"def __init__({', '.join(takes)}):\n {lines}", known)  # noqa: S102 - made of our own field names, as the library does
        init = known["__init__"]
        init.__qualname__ = f"{cls.__qualname__}.__init__"
        return init

    def _values(names):
        if len(names) > 1:
            return attrgetter(*names)
        return lambda one: tuple(getattr(one, name) for name in names)

    def _equal(values):
        def __eq__(self, other):  # noqa: N807 - put on the class
            if other.__class__ is not self.__class__:
                return NotImplemented
            return values(self) == values(other)

        return __eq__

    def _hash(values):
        def __hash__(self):  # noqa: N807 - put on the class
            return hash(values(self))

        return __hash__

    def _orders(values):
        def compare(name):
            def method(self, other):
                if other.__class__ is not self.__class__:
                    return NotImplemented
                return getattr(values(self), name)(values(other))

            return method

        return {name: compare(name) for name in ("__lt__", "__le__", "__gt__", "__ge__")}

    def _repr(self):
        shown = ", ".join(
            f"{name}={getattr(self, name)!r}" for name, one in self.__plain_fields__.items() if one.shown
        )
        return f"{self.__class__.__qualname__}({shown})"

    def _refuse_set(self, name, value):
        from dataclasses import FrozenInstanceError  # noqa: PLC0415 - only who breaks the rule pays for it

        raise FrozenInstanceError(f"cannot assign to field {name!r}")

    def _refuse_delete(self, name):
        from dataclasses import FrozenInstanceError  # noqa: PLC0415 - as above

        raise FrozenInstanceError(f"cannot delete field {name!r}")

    def _reduce(values):
        def __reduce__(self):  # noqa: N807 - put on the class
            return self.__class__, values(self)

        return __reduce__

    def _get_state(self):
        return [getattr(self, name) for name in self.__plain_fields__]

    def _set_state(self, state):
        for name, value in zip(self.__plain_fields__, state, strict=True):
            object.__setattr__(self, name, value)


__all__ = ["dataclass", "field", "replace"]
