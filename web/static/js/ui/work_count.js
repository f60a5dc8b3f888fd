/** The number of jobs under way, beside the word Work in the head of the page. */

import { get } from '../api.js';

const QUICK_MS = 3000;
const SLOW_MS = 15000;

export function workCount(badge) {
  const look = async () => {
    let open = 0;
    try {
      ({ open } = await get('/api/work/open'));
    } catch {
      // The next look will tell.
    }
    badge.hidden = open === 0;
    badge.textContent = String(open);
    badge.title = open === 1 ? '1 job under way' : `${open} jobs under way`;
    setTimeout(look, open ? QUICK_MS : SLOW_MS);
  };
  look();
}
