/** The reed drawing as input: places are buttons, arrows walk over them, one of them is in the order of Tab. */

import { pressed } from '../model/reed_choice.js';

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const placeOf = (spot) => ({ zone: spot.dataset.zone, blade: spot.dataset.blade ?? '', side: spot.dataset.side ?? '' });

const middle = (spot) => {
  const box = spot.getBoundingClientRect();
  return [box.left + box.width / 2, box.top + box.height / 2];
};

/** The nearest place in a direction: distance along it, plus twice the distance aside. */
function neighbour(spots, from, [right, down]) {
  const [x, y] = middle(from);
  let best = null;
  let least = Infinity;
  for (const spot of spots) {
    if (spot === from) continue;
    const [atX, atY] = middle(spot);
    const along = (atX - x) * right + (atY - y) * down;
    const aside = Math.abs((atX - x) * down) + Math.abs((atY - y) * right);
    if (along > 1 && along + 2 * aside < least) [best, least] = [spot, along + 2 * aside];
  }
  return best;
}

/** `svg` is one drawing; `onTouch(place)` is told of each choice, `onLook(text)` of the place in hand. */
export function reedButtons(svg, { onTouch, onLook }) {
  const spots = [...svg.querySelectorAll('.reed-spot')];
  const enter = (spot) => {
    for (const one of spots) one.setAttribute('tabindex', one === spot ? '0' : '-1');
    spot.focus({ preventScroll: true });
  };
  const look = (spot) => onLook(spot ? `${spot.getAttribute('aria-label')} (${spot.dataset.meaning})` : '');
  svg.addEventListener('click', (event) => {
    const spot = event.target.closest('.reed-spot');
    const name = event.target.closest('[data-name-of]'); // its word stands for the zone, on whichever blade
    if (spot) onTouch(placeOf(spot));
    else if (name) onTouch({ zone: name.dataset.nameOf, blade: '', side: '' });
  });
  svg.addEventListener('keydown', (event) => {
    const spot = event.target.closest('.reed-spot');
    if (!spot || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key in ARROWS) {
      const next = neighbour(spots, spot, ARROWS[event.key]);
      if (next) enter(next);
    } else if (event.key === 'Enter' || event.key === ' ') onTouch(placeOf(spot));
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  svg.addEventListener('focusin', (event) => look(event.target.closest('.reed-spot')));
  svg.addEventListener('pointerover', (event) => look(event.target.closest('.reed-spot')));
  svg.addEventListener('pointerleave', () => look(null));
  return {
    enter: () => enter(spots.find((spot) => spot.getAttribute('tabindex') === '0') ?? spots[0]),
    show(choice) {
      for (const spot of spots) spot.setAttribute('aria-pressed', pressed(choice, placeOf(spot)));
    },
    /** Show how warm each place is: `[{level, name}, ...]` in the order of the places. */
    warm(places) {
      spots.forEach((spot, at) => {
        const { level, name } = places[at];
        spot.dataset.level = level;
        spot.setAttribute('aria-label', name);
        const heat = spot.querySelector('.reed-heat');
        if (level) heat.setAttribute('fill', `url(#reed-${svg.dataset.reed}-level-${level})`);
        else heat.removeAttribute('fill');
      });
    },
  };
}
