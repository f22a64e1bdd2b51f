"""The verbs with which a step may begin: what is done in an engine shop, as a command."""

from __future__ import annotations

VERBS = frozenset(
    """
    accept add adjust agree align allow anneal apply ask assemble attach bag balance bed begin bend
    bleed blend block blow blue bolt bore break bring brush build burnish calculate call cap caulk
    centre chalk chamfer change charge chase check chill choose clamp clean clear close coat collect
    compare compress connect cool copy count cover crack crank cross cure cut damp date deburr
    deglaze degrease demagnetise dial dip discharge disconnect dismantle divide double drain draw
    dress drill drive drop dry dunk dust ease empty enlarge enter equalise establish etch examine
    exchange expand extend face fasten feed feel file fill filter find finger finish fit fix flatten
    flex flush flux fold follow force freeze gap gather gauge give go grease grind grip guide halt
    hammer hand hang heat hoist hold hone hook identify immerse index inflate insert inspect install
    insulate invert jack join judge keep knock knurl label lap lay lean leave lend let level lever
    lift light line list listen load locate lock lodge log look loosen lower lubricate machine
    magnetise make mark mask match mate measure melt meter mill mind mix mount move near nip notch
    note number observe offer oil open order pack paint pair part pass paste pat peel peen
    photograph pick pierce pile pin pinch place plane plastic plug plumb point polish position post
    pour practise preheat prepare press pressurise prick prime print prise probe prop protect prove
    pry pull pump punch purge push put quench quit rack rag raise rake ram reach read ream rebore
    receive recheck record reface refer refill refit refuse regrind reject release relieve remove
    renew repair repeat replace report reseat reset rest restore retighten retime return reverse
    ride rig ring rinse rivet rock roll rotate rough round route rub run sand save saw scan score
    scrape screw scribe scrub seal seat secure see select send separate set settle shade shake shape
    sharpen shave shield shift shim show shrink shut sight sign sink sit size skim skip slacken
    sleeve slide slip slit smear smooth sniff snip snug soak solder sort space spin splice split
    spool spot spray spread spring square squeeze stack stagger stake stall stamp stand start state
    stay steady steam steel stir stitch stone stop store straightedge straighten strap stretch
    strike string strip stroke supply support suspend swab swage sweep swing swirl switch tack tag
    take tap tape taper tear tease tell temper tend test thaw thin thread throw thumb tie tighten
    tilt time tin tip tool top torque touch trace transfer treat trial trickle trim trip true trust
    try tuck tug tune turn twist unbolt unclip uncover undo unload unlock unpack unplug unscrew
    unseal unseat unwrap use vent verify wait walk warm warn wash watch weaken wedge weigh weld wet
    wiggle wind wipe wire withdraw work wrap write zero
    """.split()  # noqa: SIM905 - a list of one word a line would fill six pages
)
"""In the imperative, British spelling; common practice, no source. A shop that misses one adds it here."""

OPENINGS = frozenset(
    {
        "if",
        "when",
        "with",
        "before",
        "after",
        "where",
        "while",
        "once",
        "until",
        "from",
        "at",
        "on",
        "in",
        "for",
    }
)
"""A condition or a place before the command: it ends at a comma."""

BEFORE_VERB = frozenset(
    {
        "now",
        "then",
        "again",
        "first",
        "never",
        "always",
        "only",
        "do",
        "not",
        "carefully",
        "slowly",
        "properly",
        "correctly",
        "gently",
    }
)
"""Words that may stand before the verb."""
