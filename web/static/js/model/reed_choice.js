/**
 * What touching a place of the reed drawing does to a tag. No DOM.
 * A choice is `{zones: [], blade: ''|'up'|'down'|'both', side: ''|'left'|'right'|'both'}`; a place `{zone, blade?, side?}`.
 */

const other = { up: 'down', down: 'up', left: 'right', right: 'left' };

/** How far a choice takes in a place: 'true', 'false', or 'mixed' when its blade or side is not said. */
export function pressed(choice, place) {
  if (!choice.zones.includes(place.zone)) return 'false';
  const fits = (said, own) => !own || !said || said === 'both' || said === own;
  if (!fits(choice.blade, place.blade) || !fits(choice.side, place.side)) return 'false';
  return (place.blade && !choice.blade) || (place.side && !choice.side) ? 'mixed' : 'true';
}

const merged = (said, own) => {
  if (!own || said === 'both') return said;
  return said && said !== own ? 'both' : own;
};

/** The choice after a place was touched. */
export function touched(choice, place) {
  const state = pressed(choice, place);
  if (state === 'true') return without(choice, place);
  const fresh = choice.zones.length === 0;
  return {
    zones: choice.zones.includes(place.zone) ? choice.zones : [...choice.zones, place.zone],
    blade: merged(fresh ? '' : choice.blade, place.blade),
    side: merged(fresh ? '' : choice.side, place.side),
  };
}

/** One of two places is dropped when the choice is that zone alone; else the zone goes. */
function without(choice, place) {
  const alone = choice.zones.length === 1;
  if (alone && place.side && choice.side === 'both') return { ...choice, side: other[place.side] };
  if (alone && place.blade && choice.blade === 'both') return { ...choice, blade: other[place.blade] };
  const zones = choice.zones.filter((zone) => zone !== place.zone);
  return zones.length ? { ...choice, zones } : { zones, blade: '', side: '' };
}
