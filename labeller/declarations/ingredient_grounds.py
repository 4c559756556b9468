"""What an ingredient's figures and evidence rest on: its pack, its strength, its row, its specification, its line in the book."""

from labeller.jurisdictions.terms import Citation
from labeller.kitchen.batch import Path
from labeller.kitchen.working_out import Workings

TABLE = "USDA National Nutrient Database for Standard Reference, Release 28"
_MOST_WAYS = 40


def row_words(workings: Workings, place: int) -> str:
    """Return code and published name of the row behind an ingredient; empty where there is none."""
    row = workings.larder.rows[place]
    if row is None:
        return ""
    table = workings.scale.table
    return f"row {table.food_code(row)} of the {TABLE}: {table.name(row)}"


def written_at(workings: Workings, place: int) -> str:
    """Return where an ingredient is entered: a line of the book, or the shelf."""
    entry = workings.larder.entries[place]
    if entry.from_shelf:
        return f"'{entry.name}' from the shelf" + (f": {entry.ground}" if entry.ground else "")
    return f"'{entry.name}', {entry.origin}"


def paper_words(workings: Workings, place: int) -> str:
    """Return the supplier's specification of an ingredient in words; empty where there is none."""
    spec = workings.larder.entries[place].spec
    if spec is None:
        return ""
    words = [f"specification of {spec.supplier or 'the supplier'}"]
    if spec.reference:
        words.append(f"reference {spec.reference}")
    words.append(f"dated {spec.dated.isoformat()}" if spec.dated else "without a date")
    if spec.statement is not None:
        words.append(f'statement: "{" ".join(spec.statement.split())}"')
    if spec.declares is not None:
        words.append(
            f"declares: {', '.join(spec.declares) or 'nothing'}" + (" and covers all" if spec.covers_all else "")
        )
    if spec.may_contain is not None:
        words.append(f"may contain: {', '.join(spec.may_contain) or 'nothing'}")
    return f"{', '.join(words)} ({spec.origin})"


def figure_grounds(workings: Workings, place: int, pack_keys: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Return what a figure of an ingredient rests on.

    Parameters
    ----------
    pack_keys : tuple of str
        Keys of ``per_100_g`` that would give the figure; where the pack has one of them it wins over the row.
    """
    entry = workings.larder.entries[place]
    from_pack = [f"{key} {entry.per_100_g[key]:g}" for key in pack_keys if key in entry.per_100_g]
    row = row_words(workings, place)
    if from_pack and len(from_pack) == len(pack_keys):
        return (f"the pack, in 100 g: {', '.join(from_pack)} ({entry.origin})",)
    found = []
    if from_pack:
        found.append(f"the pack, in 100 g: {', '.join(from_pack)} ({entry.origin})")
    if row:
        found.append(row)
    return tuple(found) or (f"no row and no pack figure: {written_at(workings, place)}",)


def strength_grounds(workings: Workings, place: int) -> tuple[str, ...]:
    """Return what the ethanol of an ingredient rests on: the bottle, the pack, or the closure of its row."""
    entry = workings.larder.entries[place]
    row = row_words(workings, place)
    found: list[str] = []
    if entry.strength_percent_vol is not None:
        where = "the shelf" if entry.from_shelf else str(entry.origin)
        found.append(
            f"strength {entry.strength_percent_vol:g} % vol ({where}); density of ethanol and water: OIML R 22"
        )
        if row:
            found.append(f"dissolved solids: {row}")
    elif "alcohol_g" in entry.per_100_g:
        found.append(f"the pack: {entry.per_100_g['alcohol_g']:g} g alcohol in 100 g ({entry.origin})")
    elif row:
        found.append(f"ethanol is what closes 100 g in {row}")
    return tuple(found) or (written_at(workings, place),)


def ways_to(workings: Workings, given: str, place: int) -> tuple[Path, ...]:
    """Return every way from one thing a preparation gives down to an ingredient, shortest first.

    Notes
    -----
    Steps never take an allergen away, so every line counts, lines taken out again and frying oil included. At most 40 ways.
    """
    owner = {name: made for made in workings.made.values() for name in made.given}
    ingredient = workings.larder.names[place]
    found: list[Path] = []

    def walk(name: str, path: Path) -> None:
        made = owner.get(name)
        if made is None or len(found) >= _MOST_WAYS or place not in made.given[name].present:
            return
        for taken in made.taken:
            target = taken.line.target
            if target is None:
                continue
            if target.kind == "ingredient":
                if target.entry == ingredient:
                    found.append((*path, ingredient))
            else:
                walk(target.given, (*path, target.given))

    walk(given, (given,))
    return tuple(sorted(dict.fromkeys(found), key=lambda path: (len(path), path)))


def path_words(path: Path) -> str:
    """Return a path as people read it."""
    return " > ".join(path)


def doubt_words(clause: Citation) -> str:
    """Return a warning where a clause was not read in its own text, else nothing."""
    return "" if clause.confirmed else f"This clause is not confirmed: {clause.ground}."
