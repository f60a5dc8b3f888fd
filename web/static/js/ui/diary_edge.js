/** The edge of the rows: waveform and bars of the tags, drawn for the pieces of the page that are near the view. */

const NEAR = '400px';
const BAR = 5;
const LANES = 3;

/** Puts tags that overlap side by side: the lane of each tag by its id. */
export function lanesOf(tags) {
  const ends = [];
  const lanes = new Map();
  for (const tag of [...tags].sort((one, two) => one.start_ms - two.start_ms)) {
    let lane = ends.findIndex((end) => end <= tag.start_ms);
    if (lane < 0) lane = ends.length;
    ends[lane] = tag.end_ms;
    lanes.set(tag.id, lane % LANES);
  }
  return lanes;
}

/** `tagsOf(recording)` gives the tags, `peaksOf(recording)` a function (startMs, endMs) -> 0..1, or null. */
export function diaryEdge(rows, tagsOf, peaksOf) {
  const near = new Set();
  const known = new Map(); // recording -> its tags and their lanes, until something changes
  const size = new ResizeObserver((entries) => entries.forEach(({ target }) => near.has(target) && draw(target)));
  const view = new IntersectionObserver(
    (entries) => {
      for (const { target, isIntersecting } of entries) {
        if (isIntersecting) {
          near.add(target);
          size.observe(target);
          draw(target);
        } else {
          near.delete(target);
          size.unobserve(target);
          target.querySelector(':scope > canvas')?.remove();
        }
      }
    },
    { rootMargin: NEAR },
  );

  function ofRecording(recording) {
    if (!known.has(recording)) known.set(recording, { tags: tagsOf(recording), lanes: lanesOf(tagsOf(recording)) });
    return known.get(recording);
  }

  function canvasOf(chunk) {
    const canvas = chunk.querySelector(':scope > canvas') ?? document.createElement('canvas');
    if (canvas.parentElement) return canvas;
    canvas.className = 'diary-edge';
    canvas.setAttribute('aria-hidden', 'true');
    chunk.append(canvas);
    return canvas;
  }

  function forget(chunk) {
    near.delete(chunk);
    size.unobserve(chunk);
    view.unobserve(chunk);
  }

  function draw(chunk) {
    const section = chunk.closest('.diary-chapter');
    const chapter = section ? rows.chapters.get(Number(section.dataset.recording)) : null;
    if (chapter?.section !== section) return forget(chunk); // its part of the page was replaced
    const canvas = canvasOf(chunk);
    const { width, height } = canvas.getBoundingClientRect();
    const scale = devicePixelRatio || 1;
    canvas.width = Math.round(width * scale);
    canvas.height = Math.round(height * scale);
    const pen = canvas.getContext('2d');
    pen.scale(scale, scale);
    const style = getComputedStyle(chunk);
    const colour = (name) => style.getPropertyValue(name).trim();
    const bars = LANES * (BAR + 1);
    const first = rows.rowOf(chunk.querySelector('.diary-row')).at;
    const own = chapter.rows.slice(first, first + chunk.querySelectorAll('.diary-row').length);
    const { tags, lanes } = ofRecording(chapter.recording);
    const peak = peaksOf(chapter.recording);
    for (const row of own) {
      const top = row.element.offsetTop;
      const tall = row.element.offsetHeight;
      const place = (ms) => top + (tall * Math.min(Math.max(ms - row.start, 0), row.end - row.start)) / Math.max(row.end - row.start, 1);
      if (peak) wave(pen, row, top, tall, width - bars, peak, colour(`--${row.kind === 'pause' ? 'quiet' : row.kind}`));
      pen.fillStyle = colour('--thread');
      for (const tag of tags) {
        if (tag.start_ms >= row.end || tag.end_ms <= row.start) continue;
        const from = tag.start_ms <= row.start ? top : place(tag.start_ms) + 1;
        const to = tag.end_ms >= row.end ? top + tall : place(tag.end_ms) - 1;
        pen.fillRect(width - bars + lanes.get(tag.id) * (BAR + 1), from, BAR, Math.max(to - from, 3));
      }
    }
  }

  function wave(pen, row, top, tall, width, peak, colour) {
    pen.fillStyle = colour;
    const steps = Math.max(1, Math.floor(tall / 2));
    for (let step = 0; step < steps; step++) {
      const from = row.start + ((row.end - row.start) * step) / steps;
      const half = Math.max(0.5, (peak(from, from + (row.end - row.start) / steps) * (width - 4)) / 2);
      pen.fillRect(width / 2 - half, top + step * 2, half * 2, 1.4);
    }
  }

  const watch = (section) => section.querySelectorAll('.diary-chunk').forEach((chunk) => view.observe(chunk));
  for (const { section } of rows.chapters.values()) watch(section);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => near.forEach(draw));

  return {
    watch,
    /** Draw again what is near, after tags or peaks have changed. */
    redraw() {
      known.clear();
      near.forEach(draw);
    },
  };
}
