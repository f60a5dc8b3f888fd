/** Stills from the contact sheet, each at the row where something starts that is nearest to it in time. */

import { get } from '../api.js';
import { clock } from '../model/clock.js';

const APART_MS = 15_000; // stills of sounds are no closer than this; a tag always may have its own
const SVG = 'http://www.w3.org/2000/svg';

/** Which row gets which picture: `[[row, number], ...]`; a picture further than half their spacing from any start is left out. */
export function stillRows(rows, times) {
  const starts = rows.filter((row) => 'still' in row.element.dataset || row.element.querySelector('.is-tag'));
  const spacing = times.length > 1 ? (times.at(-1) - times[0]) / (times.length - 1) : Infinity;
  const taken = new Map();
  times.forEach((ms, number) => {
    let best = null;
    for (const row of starts) {
      if (row.start - ms > spacing) break;
      const from = ms >= row.start && ms < row.end ? 0 : Math.abs(row.start - ms);
      if (from <= spacing / 2 && (!best || from < best.from)) best = { row, from };
    }
    if (best && !taken.has(best.row)) taken.set(best.row, number);
  });
  let shown = -Infinity;
  return [...taken].filter(([row]) => {
    const isWanted = row.start - shown >= APART_MS || row.element.querySelector('.is-tag');
    if (isWanted) shown = row.start;
    return isWanted;
  });
}

function still(sheet, address, number) {
  const { tile_width: width, tile_height: height, columns, times_ms: times } = sheet;
  const picture = document.createElementNS(SVG, 'svg');
  picture.setAttribute('class', `diary-still${height > width ? ' is-upright' : ''}`);
  picture.setAttribute('viewBox', `${(number % columns) * width} ${Math.floor(number / columns) * height} ${width} ${height}`);
  picture.setAttribute('width', width);
  picture.setAttribute('height', height);
  picture.setAttribute('role', 'img');
  picture.setAttribute('aria-label', `Still at ${clock(times[number])}`);
  const image = document.createElementNS(SVG, 'image');
  image.setAttribute('href', address);
  image.setAttribute('width', width * columns);
  image.setAttribute('height', height * Math.ceil(times.length / columns));
  picture.append(image);
  return picture;
}

/** Put the stills of a recording on its rows. */
export async function diaryStills(chapter, address) {
  if (!address) return;
  try {
    const sheet = await get(`/api/recordings/${chapter.recording}/stills`);
    for (const [row, number] of stillRows(chapter.rows, sheet.times_ms)) {
      if (row.element.classList.contains('has-still')) continue;
      row.element.classList.add('has-still');
      row.element.children[1].after(still(sheet, address, number));
    }
  } catch {
    // Without stills the diary says the same.
  }
}
