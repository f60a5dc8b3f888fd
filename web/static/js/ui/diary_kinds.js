/** What the three forms of the diary are about: how each is filled and read. */

import { parseClock } from '../model/clock.js';

const optionsOf = (select, words, first) => {
  select.replaceChildren(...[['', first], ...words.map(({ id, label }) => [id, label])].map(([id, label]) => new Option(label, id)));
};

export function fillReeds(select, reeds) {
  optionsOf(select, reeds.map(({ id, name, instrument }) => ({ id, label: `${name} (${instrument})` })), 'that of the recording');
}

/** Give a form the words of an instrument, keeping what is chosen. */
export function useWords(form, words) {
  for (const select of form.querySelectorAll('[data-words]')) {
    const kept = select.value;
    optionsOf(select, words[select.dataset.words], 'not said');
    select.value = kept;
  }
}

/** The tag form; `combos` are its fields `step`, `zones`, `symptoms`; `onPlace()` hears that the place has changed. */
export const tagKind = (combos, onPlace) => ({
  address: '/api/tags',
  names: ['New tag', 'Tag'],
  focus: () => combos.step.input,
  fill(form, value) {
    combos.step.ids = value.step ? [value.step] : [];
    combos.zones.ids = value.zones ?? [];
    combos.symptoms.ids = value.symptoms ?? [];
    for (const name of ['blade', 'side', 'reed_id', 'note']) form.elements[name].value = value[name] ?? '';
    onPlace();
  },
  read(form) {
    combos.step.settle();
    return {
      step: combos.step.ids[0] ?? '',
      zones: combos.zones.ids,
      symptoms: combos.symptoms.ids,
      blade: form.elements.blade.value,
      side: form.elements.side.value,
      reed_id: form.elements.reed_id.value || null,
      note: form.elements.note.value,
    };
  },
  blamed(error, form) {
    if (error.code !== 'bad_time' && !combos.step.ids.length) return [combos.step.input];
    return blamedTimes(error, form);
  },
});

/** A stretch that was refused: its end, and its beginning too where they are the wrong way round. */
function blamedTimes(error, { elements: { start_ms: start, end_ms: end } }) {
  if (error.code !== 'bad_time') return [];
  return parseClock(start.value) >= parseClock(end.value) ? [end, start] : [end];
}

/** The reading form; `tagsNear(value)` gives the tags that a reading may belong to as `{id, label}`. */
export const readingKind = (quantities, zonesOf, tagsNear) => ({
  address: '/api/diary/readings',
  names: ['New reading', 'Reading'],
  focus: (form) => form.elements.quantity,
  fill(form, value) {
    optionsOf(form.elements.zone, zonesOf(value), 'not said');
    optionsOf(form.elements.tag_id, tagsNear(value), 'none: to the moment alone');
    for (const name of ['value', 'unit', 'zone', 'blade', 'side', 'moisture', 'tool', 'tag_id', 'reed_id', 'place_note', 'note']) {
      form.elements[name].value = value[name] ?? '';
    }
    if (!form.elements.quantity.length) optionsOf(form.elements.quantity, Object.entries(quantities).map(([id, { label }]) => ({ id, label })), 'choose');
    form.elements.quantity.value = value.quantity ?? '';
    showUnits(form, quantities);
    form.elements.quantity.onchange = () => {
      form.elements.unit.value = usualUnit(quantities, form.elements.quantity.value);
      showUnits(form, quantities);
    };
  },
  read(form) {
    const values = {};
    for (const name of ['quantity', 'value', 'unit', 'zone', 'blade', 'side', 'moisture', 'tool', 'place_note', 'note']) values[name] = form.elements[name].value;
    for (const name of ['tag_id', 'reed_id']) values[name] = form.elements[name].value || null;
    return values;
  },
  blamed({ code, subject }, { elements }) {
    if (code === 'bad_time') return [elements.at_ms];
    if (code === 'bad_unit') return [elements.unit];
    if (!elements.quantity.value) return [elements.quantity];
    return !elements.value.value.trim() || subject === elements.value.value.trim() ? [elements.value] : [];
  },
});

/** The unit this maker last used for a quantity, else its usual one. */
const usualUnit = (quantities, id) => quantities[id]?.last_unit || quantities[id]?.units[0] || '';

function showUnits(form, quantities) {
  const units = quantities[form.elements.quantity.value]?.units ?? [];
  document.getElementById('reading-units').replaceChildren(...units.map((unit) => new Option(unit, unit)));
  form.elements.unit.placeholder = units[0] ?? '';
}

export const correctionKind = () => ({
  address: '/api/corrections',
  names: ['New correction', 'Correction'],
  focus: (form) => (form.elements.said.value ? form.elements.right : form.elements.said),
  fill(form, value) {
    form.elements.said.value = value.said ?? '';
    form.elements.right.value = value.right ?? '';
  },
  read: (form) => ({ said: form.elements.said.value, right: form.elements.right.value }),
  blamed: (error, form) => (error.code === 'bad_input' && !form.elements.right.value.trim() ? [form.elements.right] : blamedTimes(error, form)),
});
