"""Words an answer must have and must never have, by language; shared by the tests of sentences."""

TICKS = "✓✔☑✅√"
# What is never said of a dish, in each language: that something is not in it by claim, that there are traces, that alcohol goes away,
# that it is safe. The contract, section 3; the equivalents are words of the language.
NEVER = {
    "en": r"\bfree\b|free-from|\btraces?\b|\bsafe\b|(cooks?|burns?|boils?) (it )?off|guarantee|suitable for",
    "fr": r"\bsans\b|exempt|dépourvu|\blibre|\btraces?\b|garanti|sans danger|\bsûr|évapor",
    "de": r"\bfrei\b|-frei|freies?\b|\bohne\b|\bspuren?\b|garantier|\bsicher|unbedenklich|verkocht|verdampf",
    "it": r"\bsenza\b|\bpriv[oaie]\b|\besent|\bliber[oaie]\b|\btracc[ea]\b|garanti|\bsicur|evapora",
    "es": r"\bsin\b|\blibre|\bexent|\btrazas?\b|garantiz|\bsegur|evapora|\bapt[oa]",
}
DO_NOT_KNOW = {
    "en": "We do not know",
    "fr": "Nous ne savons pas",
    "de": "Wir wissen es nicht",
    "it": "Non lo sappiamo",
    "es": "No lo sabemos",
}
GOES_BY_PAPERS = {
    "en": "going by our suppliers' papers",
    "fr": "D'après les documents de nos fournisseurs",
    "de": "Laut den Unterlagen unserer Lieferanten",
    "it": "Secondo i documenti dei nostri fornitori",
    "es": "Según los documentos de nuestros proveedores",
}
