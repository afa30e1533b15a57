"""Good jobs with one value changed within its type: an item tells of it, or it stands here why none has to.

A few hundred mutants of all fields in turn; `python -m tests.soak.mutants 5000 7` looks at thousands, field by
field. Each field that may change without an item stands in a list below with the reason, for all its changes,
for those that may as well be true, or for single ways; a field that is not in a list at all fails.
"""

from collections.abc import Mapping

import pytest

from dossier.evidence import measure
from tests.jobs.mutants import (
    DEMO_JOB,
    JOBS,
    WILD,
    Came,
    Mutant,
    Outcome,
    fields_of_the_record,
    mutants,
    outcome,
    trees,
)
from tests.known_good import GOOD_JOB

SEED, EVERY_DAY, PARTS = 7, 300, 12


def _fields(listed: Mapping[str, str]) -> dict[str, str]:
    return {field: reason for reason, fields in listed.items() for field in fields.split()}


def _ways(listed: Mapping[str, str]) -> dict[tuple[str, str], str]:
    """Return field and way → reason. listed: reason → lines such as `blank, n/a: job.x job.y`."""
    found = {}
    for reason, lines in listed.items():
        for line in filter(None, map(str.strip, lines.splitlines())):
            ways, _, fields = line.partition(":")
            found |= {(f, way.strip()): reason for f in fields.split() for way in ways.split(",")}
    return found


DOCUMENTS_ONLY = _fields(
    {
        "Filled in where nothing on this roof asks for it, and printed.": """
            job.building.storeys job.slopes.*.detached""",
        "It is how somebody is reached or called; it is printed, and no figure or rule can know better.": """
            job.owners.*.email job.owners.*.phone job.owners.*.mailing_address job.owners.*.name job.owners.*.kind
            job.insurance.adjuster job.insurance.insurer job.insurance.policy job.insurance.claim
            job.permit.number job.job.number job.job.address job.permit.inspections.*.by
            job.warranties.*.registered_by""",
        "It is somebody's own words; they are printed as they stand.": """
            job.after_work.ducts.note job.after_work.flues.note photos.*.caption photos.*.reviewed.note
            job.building.attics.*.soffits_seen_clear.note job.repairs.*.approved.note job.repairs.*.place
            job.after_work.baffles.note job.after_work.boots.note job.after_work.magnet_sweep.note
            job.after_work.spring_bond_check.note job.building.lead_dust.pamphlet.note
            job.repairs.*.cause job.job.old_covering job.job.scope_reason job.building.attics.*.space
            job.deliveries.*.lines.*.colour job.deliveries.*.lines.*.left_with_owner
            job.money.scope_lines.*.what job.money.scope_lines.*.quantity""",
        "A look that is not asked for on this roof is printed where there is one, and nothing rests on it.": """
            job.after_work.baffles job.after_work.boots job.after_work.magnet_sweep
            job.after_work.spring_bond_check job.after_work.baffles.by job.after_work.boots.by
            job.after_work.magnet_sweep.by job.after_work.spring_bond_check.by""",
        "Without a licence the owner's first page keeps its caution, which is all that rests on it.": """
            job.after_work.flues.licence""",
        "A photo that nobody looked at is on file all the same: the backing printed for it is the lower one.": """
            photos photos.*.reviewed photos.*.reviewed.by photos.*.phase job.papers job.papers.*.reviewed
            job.papers.*.reviewed.by job.papers.*.reviewed.on""",
        "The sheet's or catalogue's own value, typed once more: the document then says that it was typed.": """
            job.building.climate_zone job.building.design_wind_mph job.building.wall_in
            job.deliveries.*.lines.*.wind_class job.deliveries.*.lines.*.standard
            job.deliveries.*.lines.*.covers_ft job.deliveries.*.lines.*.covers_sqft
            job.building.attics.*.exhaust.*.net_free_area_sqin job.building.attics.*.intake.*.net_free_area_sqin
            job.warranties.*.level""",
        "Lots are tied to a slope only where somebody knows; never an item, by the trade's own habit.": """
            job.deliveries.*.lines.*.lots.*.slopes""",
        "A place covered again, or a list that names a thing twice, says no more than the list did.": """
            job.installation.drip_edge_at job.installation.starter_at job.work job.work.*.phases job.work.*.slopes
            job.decks.*.slopes""",
        "The figures of an insurer's scope are set beside ours, line by line, and judged by nobody.": """
            job.money.scope_lines job.money.scope_lines.*.amount job.money.scope_lines.*.role job.money.prices
            job.money.prices.*.amount job.money.prices.*.role
            job.money.held_back job.insurance.deductible job.insurance.first_payment
            job.insurance.replacement_value""",
        "A photo that is named is the one that would have been found by its place.": "job.repairs.*.photo_before",
        "The maker was not asked for more than the days on record, and all of them are printed.": """
            job.warranties""",
    }
)
"""Shown in documents or figures, whatever the value; no item tells of it."""

PLAUSIBLE = _fields(
    {
        "Another measure of the same roof, within what the other measures of it allow, may as well be true.": """
            job.slopes.*.area_sqft job.slopes.*.plan_area_sqft job.slopes.*.rake_ft job.slopes.*.ridge_ft
            job.slopes.*.eave_ft
            job.slopes.*.hip_ft job.slopes.*.valley_ft job.slopes.*.step_flashing_ft job.slopes.*.pitch
            job.slopes.*.faces job.building.overhang_in job.slopes.*.eaves.*.overhang_in
            job.slopes.*.penetrations job.slopes.*.ice_barrier_reach_in job.slopes.*.ice_barrier_courses
            job.slopes.*.underlayment_layers job.slopes.*.chimneys job.slopes.*.eaves
            job.slopes.*.eaves.*.heated_below job.building.attics.*.floor_area_sqft
            job.building.attics.*.intake.*.length_ft job.building.attics.*.exhaust.*.length_ft
            job.building.attics.*.intake.*.product job.building.year_built job.building.dwellings""",
        "Another quantity that still is enough for this roof, and not far over, may as well be true.": """
            job.deliveries.*.lines.*.quantity job.deliveries.*.lines.*.returned
            job.deliveries.*.lines.*.lots.*.mark
            job.deliveries.*.lines.*.unit job.deliveries.*.source job.repairs.*.sheets
            job.repairs.*.board_feet job.building.lead_dust.painted_sqft""",
        "Another way of laying it that code and terms allow as well may as well be true.": """
            job.installation.ice_barrier_reach_in job.installation.ice_barrier_courses
            job.installation.nails_per_shingle job.installation.lowest_air_f job.installation.valley_method
            job.installation.underlayment_layers job.installation.fastener job.installation.fastener_length_in
            job.building.attics.*.vapour_retarder job.building.attics.*.kind job.decks.*.kind
            job.decks.*.rafter_spacing_in job.decks.*.thickness_in job.decks.*.span_rating job.decks.*.redecked
            job.decks.*.largest_gap_in job.decks.*.moisture_pct job.decks.*.edge_clips
            job.decks.*.new_thickness_in job.decks.*.new_span_rating job.repairs.*.kind
            job.installation.hand_sealed job.slopes.*.ice_barrier_whole job.job.layers_found
            job.job.layers_removed job.slopes.*.old_membrane_left""",
        "Another day in an order that can still be true may as well be the day.": """
            job.job.completion_signed_on job.job.contract_on job.permit.closed_on job.permit.issued
            job.permit.inspections.*.on job.after_work.flues.on job.after_work.ducts.on
            job.building.attics.*.soffits_seen_clear.on job.building.lead_dust.owner_copy_on
            job.repairs.*.approved.on job.warranties.*.accepted_on job.warranties.*.owner_signed_on
            job.warranties.*.received_on job.warranties.*.submitted_on job.work.*.checked_on
            photos.*.reviewed.on""",
        "Another of the persons on record may as well have been the one.": """
            job.after_work.flues.by job.after_work.ducts.by job.building.attics.*.soffits_seen_clear.by
            job.permit.inspections.*.by job.repairs.*.approved.by job.work.*.checked_by
            job.building.lead_dust.renovator""",
        "Another number for the same thing may as well be its number.": """
            job.deliveries.*.ticket job.warranties.*.confirmation""",
    }
)
"""Shown in documents or figures only, and only where the value may as well be true: not after a wild change."""

NOTHING_AT_ALL = _fields(
    {
        "Filled in where nothing on this roof asks for it; where it is asked for, its rule's examples tell.": """
            job.building.attics.*.exhaust.*.low job.building.attics.*.intake.*.low
            job.installation.barrier_air_f job.installation.caps_along_laps_in
            job.installation.caps_between_laps_in job.installation.end_lap_in job.installation.fastener_head_in
            job.installation.fastener_shank_in job.installation.head_lap_in
            job.installation.kept_flashing_sound job.installation.underlayment_caps job.job.asbestos_survey
            job.job.old_covering_psf job.off_and_on job.slopes.*.detached job.slopes.*.eaves.*.kick_out
            job.slopes.*.eaves.*.meets_wall job.slopes.*.kick_out job.slopes.*.steep_method
            job.work.*.checked_on""",
        "It names or numbers something for the office alone, and no document that leaves it prints that.": """
            job.notes job.papers job.papers.*.backs job.papers.*.on job.papers.*.reviewed.note
            job.papers.*.reviewed.by job.papers.*.reviewed.on
            job.money.change_orders.*.number job.money.change_orders.*.what
            job.money.change_orders.*.approved.note job.money.invoices.*.number job.money.payments.*.by
            job.warranties.*.registered_by job.job.crew_lead job.job.supervised_by photos.*.received_from
            photos.*.received_on photos.*.slope job.deliveries.*.supplier""",
        "A crew that is named twice is one crew.": "job.job.crew",
        "What is typed is what holds without it: a default, or the sheet's or catalogue's own value.": """
            job.building.exposure job.building.hill_crest job.building.wall_datum job.building.storeys
            job.building.mean_roof_height_ft job.building.dwellings job.owners.*.kind
            job.building.attics.*.space job.building.attics.*.kind job.building.attics.*.upper_drop_ft
            job.installation.fascia_wrap_in job.deliveries.*.source job.deliveries.*.lines.*.carries_lot
            job.deliveries.*.lines.*.covers_ft job.deliveries.*.lines.*.covers_sqft
            job.deliveries.*.lines.*.maker job.deliveries.*.lines.*.role job.deliveries.*.lines.*.standard
            job.money.invoices.*.final job.slopes.*.eaves.*.wall_datum job.slopes.*.eaves.*.wall_in
            job.money.change_orders.*.for_deck_repairs job.money.payments.*.in_full
            job.slopes.*.eave_meets_wall job.slopes.*.underlayment_layers job.slopes.*.ice_barrier_whole
            job.slopes.*.ice_barrier_courses job.slopes.*.ice_barrier_reach_in job.slopes.*.old_membrane_left
            job.slopes.*.plan_area_sqft job.deliveries.*.file job.repairs.*.photo_after
            job.repairs.*.photo_before job.building.lead_dust.tested_free_of_lead job.papers.*.kind""",
        "A chimney of 30 in or less needs no cricket, wherever it stands (IRC R903.2.2).": """
            job.slopes.*.chimneys.*.at_ridge job.slopes.*.chimneys.*.cricket
            job.slopes.*.chimneys.*.width_in""",
        "The roof has nothing that the field speaks of, or laid nothing in the cold, or re-decked nothing.": """
            job.installation.hand_sealed job.installation.primer job.installation.kick_out
            job.installation.valley_lining_in job.decks.*.edge_clips job.decks.*.new_kind
            job.decks.*.new_span_rating job.decks.*.new_thickness_in job.money.board_foot_price
            job.money.sheet_price job.money.prices job.money.held_back job.permit.extended_on
            job.warranties.*.queried_on job.warranties.*.fee_paid_on job.warranties.*.ordered_on
            job.warranties.*.terms_given_on""",
        "A length or a net free area decides where both are typed; a count beside them says no more.": """
            job.building.attics.*.exhaust.*.count job.building.attics.*.intake.*.count
            job.slopes.*.eaves.*.length_ft job.slopes.*.eaves""",
        "Where the house lies is compared with where the photos were taken, and these tell no place.": """
            job.job.place""",
        "A wrong version never reaches a rule: whoever opens the file refuses it before.": """
            job.record""",
        "The look itself is on record, and it is what counts; the number only asks for it.": """
            job.building.flues job.building.ducts""",
        "A waiver, payment or line more than is needed takes nothing away from the others.": """
            job.money.payments job.money.scope_lines.*.role""",
        "What is replaced cannot cost the insurer more than it cost; above that its value bounds nothing.": """
            job.insurance.replacement_value""",
        "A skylight by itself changes no figure of this roof.": "job.slopes.*.skylights",
    }
)
"""Neither an item nor a document changes, and nobody is the worse for it."""

MAY_AS_WELL_BE = _fields(
    {
        "Another day that its order allows may as well be the day, whether a document prints it or not.": """
            job.deliveries.*.on job.job.contract_on job.money.change_orders.*.approved.on
            job.money.invoices.*.on job.money.payments.*.on job.money.waivers.*.through
            job.warranties.*.delivered_on job.warranties.*.received_on job.after_work.baffles.on
            job.after_work.boots.on job.after_work.magnet_sweep.on job.after_work.spring_bond_check.on
            job.building.lead_dust.pamphlet.on""",
        "On a tear-off the kind of what came off asks for nothing but asbestos, which is told.": """
            job.job.old_covering_kind""",
        "What was laid aside on a tear-off is in no state that matters any more.": """
            job.job.old_covering_state""",
        "One small plane less may as well be the roof: it lies within the waste that a ticket leaves.": """
            job.slopes""",
        "Vents that no ticket shows may have been there before, or come off the truck.": """
            job.deliveries.*.lines""",
        "What somebody noted of a file is that person's own word, whatever the file is called.": """
            photos.*.file job.papers.*.file""",
        "A certificate is found by its own name, and the confirmation stands for it.": """
            job.warranties.*.certificate_file""",
    }
)
"""Other values, neither wild nor blank, of which neither an item nor, in part, a document tells."""

HARMLESS_WAYS = _ways(
    {
        "Said not to apply or left blank it is read the same: the vents are held to the larger area, and COD-005 "
        "asks where that decides.": """
            n/a: job.building.attics.*.vapour_retarder""",
        "Some suppliers send an invoice and no ticket, and a reason says so.": """
            n/a: job.deliveries.*.ticket""",
        "A slope's line names the edges and pipes it has: one that does not apply is read as none, which may as "
        "well be true of this slope.": """
            n/a: job.slopes.*.rake_ft job.slopes.*.valley_ft job.slopes.*.step_flashing_ft
            n/a: job.slopes.*.eave_ft job.slopes.*.ridge_ft
            n/a: job.slopes.*.penetrations
            n/a: job.slopes.*.eaves job.slopes.*.ice_barrier_whole""",
        "A boot left over is common, so that fewer pipes than boots may as well be true; none at all, and more "
        "than came, are told (MAT-019, MAT-020).": """
            nought, n/a: job.slopes.*.penetrations""",
        "A dormer's short edge changes the need of the whole roof by less than came to spare; a roof without any "
        "ridge is told (MAT-019), and one without rakes is asked for them (COD-003).": """
            nought, a tenth: job.slopes.*.ridge_ft job.slopes.*.rake_ft job.slopes.*.eave_ft""",
        "It turns the drawn plan of the roof and decides nothing else.": """
            n/a: job.slopes.*.faces""",
        "The slope is covered whole, or the old roof stayed: no barrier's reach is asked of it.": """
            n/a: job.slopes.*.eaves.*.overhang_in job.slopes.*.eaves.*.heated_below
            n/a: job.slopes.*.ice_barrier_reach_in job.building.overhang_in
            blank: job.installation.ice_barrier_courses job.installation.ice_barrier_reach_in
            blank: job.installation.underlayment_layers""",
        "The reach tells how far the barrier lies without the courses, and the courses without the reach; COD-002 "
        "judges by either, and IDN-014 tells where neither is there.": """
            n/a: job.installation.ice_barrier_courses job.installation.ice_barrier_reach_in""",
        "What a new deck covers, or an old roof that stayed, decides nothing; where the old deck was bared and "
        "carries the shingles, IDN-014 tells of it.": """
            n/a: job.decks.*.kind job.decks.*.thickness_in job.decks.*.largest_gap_in job.job.layers_removed
            nought, a tenth, tenfold: job.decks.*.largest_gap_in""",
        "Deck spans are judged where the locality lets them hold a permit, and there IDN-014 tells of it.": """
            n/a: job.decks.*.span_rating job.decks.*.new_span_rating job.decks.*.rafter_spacing_in""",
        "It is read as a deck that stayed, whose own kind is asked for (DEC-008).": """
            n/a: job.decks.*.redecked""",
        "Counting a lot is optional, so that an uncounted one may carry the rest of the delivery (MAT-002).": """
            blank, n/a: job.deliveries.*.lines.*.lots.*.quantity""",
        "A look that is not asked for on this roof is printed without its day, and nothing rests on it.": """
            blank, n/a: job.after_work.baffles.on job.after_work.boots.on job.after_work.magnet_sweep.on
            blank, n/a: job.after_work.spring_bond_check.on""",
        "Only what the next layer hides is asked who looked at it (ORD-004), and the last looks (SAF-010).": """
            n/a: job.work.*.checked_by""",
        "A photo that nobody looked at is on file all the same: the backing printed for it is the lower one.": """
            n/a: photos.*.reviewed.on""",
        "A repair without a price of its own is priced by the sheet or the board foot; where none is agreed, "
        "MON-003 asks for its price.": """
            blank, n/a: job.repairs.*.price""",
        "The change order is the money of the deck repairs, and the owner's word on those is asked for (DEC-005); "
        "on any other, MON-007 asks for name and day.": """
            blank, n/a: job.money.change_orders.*.approved job.money.change_orders.*.approved.on
            blank, n/a, another on record, other words: job.money.change_orders.*.approved.by""",
        "A final waiver without a day waives all.": """
            blank, n/a: job.money.waivers.*.through""",
        "Nobody waits for a waiver of the company's own crew; those that are owed are asked for (MON-004).": """
            a row dropped, a row doubled: job.money.waivers
            other words, another on record: job.money.waivers.*.given_by
            another word: job.money.waivers.*.kind""",
        "The lender's endorsement is on file, so that it no longer matters whether one is named.": """
            blank, n/a, the other: job.insurance.lender_is_payee""",
        "Pipes have boots, which are counted by themselves; a wall, a chimney or a skylight makes COD-016 or "
        "MAT-004 ask.": """
            blank: job.installation.flashing""",
        "The plan of the slope gives its eave.": """
            blank: job.slopes.*.eave_ft""",
        "Nothing asks for it in a house so new, or where so little paint was touched (SAF-004).": """
            filled in: job.building.lead_dust job.building.lead_dust.renovator""",
        "Another of the persons on record may as well have been the one.": """
            another on record, other words: job.building.lead_dust.pamphlet.by""",
        "The same inspection listed twice says no more than it did once.": """
            a row doubled: job.permit.inspections""",
        "Who sent the packet is printed for the maker, and nothing rests on it.": """
            blank, n/a: job.warranties.*.registered_by""",
        "The certificate is found in papers/ by its name.": """
            blank, n/a: job.warranties.*.certificate_file""",
        "The maker accepted it, and had it by then at the latest.": """
            blank: job.warranties.*.received_on""",
        "The terms of this level ask for no signature of the owner.": """
            n/a: job.warranties.*.owner_signed_on""",
        "Filled in where nothing on this roof asks for it; where it is asked for, its rule's examples tell.": """
            filled in: job.building.lead_dust.owner_copy_on job.building.lead_dust.pamphlet""",
        "An emergency leaves no time for the pamphlet (40 CFR 745.82(b), from memory), and a reason says so.": """
            n/a: job.building.lead_dust.pamphlet job.building.lead_dust.pamphlet.on""",
        "The ticket itself has its day, and only a waiver's reach hangs on it: where one does, MON-017 asks.": """
            blank, n/a: job.deliveries.*.on""",
        "Terms that go by the contract ask for its day (REG-007); a job agreed by word has none.": """
            n/a: job.job.contract_on""",
        "No deadline of this roof counts from the invoice; of one that does, REG-001 asks for the day.": """
            blank, n/a: job.money.invoices.*.on""",
        "Only the payment that makes the sum whole has a day that counts, and MON-008 asks for that one.": """
            blank, n/a: job.money.payments.*.on""",
        "The confirmation number shows that the maker took it; the documents then name no day.": """
            n/a: job.warranties.*.accepted_on job.warranties.*.received_on job.warranties.*.submitted_on""",
        "Many makers send the certificate to the owner themselves, and a reason says so.": """
            n/a: job.warranties.*.delivered_on""",
        "The counts make a full tear-off only more certain; scope and photos of the bare deck say it.": """
            n/a: job.job.layers_found
            n/a, blank: job.job.layers_removed""",
        "On a tear-off the kind of what came off asks for nothing but asbestos, which is told.": """
            n/a, blank: job.job.old_covering_kind""",
        "Nails are bought by the box, and nobody counts what is left in it; n/a is that nothing went back.": """
            n/a, nought, a tenth: job.deliveries.*.lines.*.returned""",
        "A porch has no warm wall below its eave, and no figure is counted from its overhang.": """
            n/a, nought, a tenth, tenfold: job.slopes.*.eaves.*.overhang_in""",
        "Without its own word or row an eave is judged as the building's others, which asks for more.": """
            n/a: job.slopes.*.eaves job.slopes.*.eaves.*.heated_below
            all rows dropped: job.slopes.*.eaves""",
        "A shared valley is written at either slope, or partly at each; one too long for its slope is told.": """
            n/a, nought, a tenth: job.slopes.*.valley_ft""",
        "Step flashing is bought by the box, so that pieces left over belie no length.": """
            a tenth: job.slopes.*.step_flashing_ft""",
        "Above 20 sq ft the record is asked for and stands whole; at less none is (40 CFR 745.83).": """
            nought, a tenth, tenfold: job.building.lead_dust.painted_sqft""",
    }
)
"""A field changed in just these ways tells nothing, or in documents only, and nobody is the worse for it."""

LISTED = frozenset(
    {
        *(*DOCUMENTS_ONLY, *PLAUSIBLE, *NOTHING_AT_ALL, *MAY_AS_WELL_BE),
        *(field for field, _ in HARMLESS_WAYS),
    }
)


def unexplained(found: Outcome) -> str | None:
    """Return what is wrong with an outcome that no list explains, or None."""
    field, way = found.mutant.field, found.mutant.way
    if found.came is Came.UNREADABLE:
        return None if all(found.new) else f"{found.mutant} cannot be read, and nothing says why"
    if found.came is Came.ITEM or (field, way) in HARMLESS_WAYS:
        return None
    if field in MAY_AS_WELL_BE and way not in WILD | {"blank"}:
        return None
    if found.came is Came.NOTHING:
        known = field in NOTHING_AT_ALL
    else:
        known = field in DOCUMENTS_ONLY or (field in PLAUSIBLE and way not in WILD)
    return None if known else f"{found.mutant}: {found.came.value}, and no list says why"


_DRAWN = mutants(EVERY_DAY, SEED)


@pytest.mark.parametrize("part", range(PARTS))
def test_every_mutant_is_told_of_or_has_its_reason(part: int) -> None:
    found = [outcome(mutant) for mutant in _DRAWN[part::PARTS]]
    assert [text for one in found if (text := unexplained(one))] == []
    # The sweep could not fail if nothing could be read, or if every change were told of by chance.
    assert {Came.ITEM, Came.SHOWN} <= {one.came for one in found}


def test_the_everyday_run_draws_from_nearly_every_field() -> None:
    drawn, every = {mutant.field for mutant in _DRAWN}, fields_of_the_record() | {"photos"}
    assert drawn <= every
    assert len(drawn) >= 0.8 * len(every)


def test_every_list_speaks_of_fields_of_the_record() -> None:
    assert {*LISTED} - fields_of_the_record() - {"photos"} == set()
    reasons = {*DOCUMENTS_ONLY.values(), *PLAUSIBLE.values(), *NOTHING_AT_ALL.values()}
    reasons |= {*MAY_AS_WELL_BE.values(), *HARMLESS_WAYS.values()}
    assert all(reason.endswith(".") for reason in reasons)


# The test of the test: a field that is in no list, and one that is there for mild changes only.


def test_a_field_without_a_reason_fails() -> None:
    def came(field: str, way: str, came: Came) -> str | None:
        return unexplained(Outcome(Mutant("x", field, field, way, "y"), came))

    assert came("job.new_field", "other words", Came.SHOWN)
    assert came("job.new_field", "other words", Came.NOTHING)
    assert came("job.new_field", "other words", Came.ITEM) is None
    assert came("job.owners.*.phone", "n/a", Came.SHOWN) is None
    assert came("job.owners.*.phone", "other words", Came.NOTHING)
    assert came("job.slopes.*.pitch", "another pitch", Came.SHOWN) is None
    assert came("job.slopes.*.pitch", "n/a", Came.SHOWN)
    assert came("job.decks.*.redecked", "n/a", Came.SHOWN) is None
    assert came("job.decks.*.redecked", "all rows dropped", Came.SHOWN)
    assert came("job.deliveries.*.on", "a day later", Came.NOTHING) is None
    assert came("job.deliveries.*.on", "a year later", Came.NOTHING)
    assert came("job.deliveries.*.on", "blank", Came.NOTHING) is None
    assert came("job.money.payments.*.amount", "double", Came.NOTHING)
    assert came("job.slopes.*.valley_ft", "tenfold", Came.SHOWN)


@pytest.mark.parametrize(
    ("listing", "nowhere"),
    [("photos.0.file", "photos/deck/not-there.jpg"), ("job.papers.0.file", "papers/not-there.pdf")],
)
def test_a_file_that_is_nowhere_is_told_as_when_it_is_measured(listing: str, nowhere: str) -> None:
    """The made-up facts must be those of a real run, or a rule that tells of a lost file would seem silent."""
    found = outcome(Mutant(DEMO_JOB, listing, listing, "a file that is not there", nowhere))
    fault = measure(GOOD_JOB, [nowhere], []).photos[nowhere].fault
    assert any(f"{nowhere} {fault}" in item for item in found.new)


def test_the_long_form_is_the_job_itself() -> None:
    """A mutant is compared with the long form; a value lost in writing it out would hide in every one."""
    for name in JOBS:
        first = outcome(Mutant(name, "job.job.number", "job.job.number", "same", _number(name)))
        assert first.came is Came.NOTHING


def _number(name: str) -> str:
    job = trees(name).job
    return str(job.entries["job"].value.entries["number"].value.text)  # type: ignore[union-attr]
