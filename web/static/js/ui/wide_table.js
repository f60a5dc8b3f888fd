/** Says above a table that it has columns beyond the edge, for as long as it has. */

export function wideTable(wrap) {
  const hint = Object.assign(document.createElement('p'), {
    className: 'table-hint', textContent: 'More columns to the right: swipe or scroll sideways.', hidden: true,
  });
  wrap.before(hint);
  const look = () => {
    const beyond = wrap.scrollWidth - wrap.clientWidth;
    hint.hidden = beyond < 2;
    wrap.classList.toggle('is-cut', beyond - wrap.scrollLeft >= 2);
  };
  new ResizeObserver(look).observe(wrap);
  wrap.addEventListener('scroll', look, { passive: true });
}
