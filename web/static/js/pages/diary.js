/** Wires the diary: player, rows, reed drawing, forms, keys. Each behaviour lives in its own file under ui. */

import { getBytes } from '../api.js';
import { clock } from '../model/clock.js';
import { lineLong, overRows, whole, withEnd, withStart } from '../model/diary_range.js';
import { readPeaks } from '../model/diary_peaks.js';
import { nextSound, previousSound } from '../model/diary_timeline.js';
import { touched } from '../model/reed_choice.js';
import { diaryCards } from '../ui/diary_cards.js';
import { combo } from '../ui/diary_combo.js';
import { diaryDoubts } from '../ui/diary_doubts.js';
import { diaryDrag } from '../ui/diary_drag.js';
import { diaryEdge } from '../ui/diary_edge.js';
import { diaryForm } from '../ui/diary_form.js';
import { diaryHead } from '../ui/diary_head.js';
import { diaryKeys } from '../ui/diary_keys.js';
import { correctionKind, fillReeds, readingKind, tagKind, useWords } from '../ui/diary_kinds.js';
import { editLine } from '../ui/diary_line.js';
import { diaryPlayer } from '../ui/diary_player.js';
import { diaryRefresh } from '../ui/diary_refresh.js';
import { diaryRows } from '../ui/diary_rows.js';
import { diarySounds } from '../ui/diary_sounds.js';
import { diaryStills } from '../ui/diary_stills.js';
import { diarySuggestions } from '../ui/diary_suggestions.js';
import { diaryText } from '../ui/diary_text.js';
import { diaryWords } from '../ui/diary_words.js';
import { diaryWork } from '../ui/diary_work.js';
import { reedButtons } from '../ui/reed_buttons.js';
import { say } from '../ui/say.js';
import { takeBack, takeStep } from '../ui/undo.js';

const data = JSON.parse(document.getElementById('diary-data').textContent);
const grid = document.querySelector('.diary-grid');
diaryHead(document.querySelector('[data-head]'));
if (grid) start();

function start() {
  const root = grid.querySelector('[data-chapters]');
  const recordings = Object.fromEntries(data.recordings.map((one) => [one.id, one]));
  const one = (selector) => document.querySelector(selector);
  let range = null; // the stretch in the making
  let anchor = null; // the row where it was begun by the keyboard or a drag
  let follow = true;
  let instrument = null;

  // Rows, text, cards, edge
  const rows = diaryRows(root, one('[data-row-tools]'), { onActive: (row) => showInstrument(rows.chapters.get(row.recording).instrument) });
  diarySounds(root);
  const text = diaryText(rows);
  const cards = diaryCards(root, rows, () => edge.redraw());
  const tagsOf = (recording) => cards.of('tag').map(({ value }) => value).filter((tag) => tag.recording_id === recording);
  const waves = new Map();
  const edge = diaryEdge(rows, tagsOf, (recording) => waves.get(recording));

  /** Waveform and stills of a recording, once they are made. */
  async function adorn(recording) {
    const { peaks, sheet } = recordings[recording];
    diaryStills(rows.chapters.get(recording), sheet);
    if (!peaks || waves.has(recording)) return;
    try {
      waves.set(recording, readPeaks(await getBytes(peaks)));
      edge.redraw();
    } catch {
      // Without its waveform the edge shows the sounds alone.
    }
  }

  // Player
  const player = diaryPlayer(one('.diary-player'), recordings, Number(grid.dataset.current), (recording, ms) => {
    const row = rows.speak(recording, ms, follow && player.isPlaying && !isWriting());
    text.speak(row, ms);
  });
  /** While something is written the page stays where it is. */
  const isWriting = () => Object.values(forms).some((form) => form.isOpen) || root.querySelector('.diary-line-edit') !== null;
  const playFrom = (recording, ms) => {
    player.seek(recording, ms);
    player.play();
  };

  // Reed drawing
  const tagFormSection = one('#tag-form');
  const tagFields = tagFormSection.querySelector('form').elements;
  const combos = Object.fromEntries(['step', 'zones', 'symptoms'].map((name) => [name, combo(tagFormSection.querySelector(`[data-combo="${name}"]`), name === 'zones' ? showPlace : undefined)]));
  const caption = one('[data-reed-caption]');
  const captionText = caption.textContent;
  const drawings = Object.fromEntries(
    [...document.querySelectorAll('[data-drawing]')].map((box) => [
      box.dataset.drawing,
      { box, reed: reedButtons(box.querySelector('svg'), { onTouch: touchPlace, onLook: (said) => (caption.textContent = said || captionText) }) },
    ]),
  );
  const choice = () => ({ zones: combos.zones.ids, blade: tagFields.blade.value, side: tagFields.side.value });

  function showPlace() {
    const shown = forms?.tag.isOpen || !forms ? choice() : { zones: [], blade: '', side: '' };
    for (const { reed } of Object.values(drawings)) reed.show(shown);
  }

  function touchPlace(place) {
    if (!forms.tag.isOpen) openTag({}, document.activeElement);
    const next = touched(choice(), place);
    tagFields.blade.value = next.blade;
    tagFields.side.value = next.side;
    combos.zones.ids = next.zones;
    showPlace();
  }
  tagFields.blade.addEventListener('change', showPlace);
  tagFields.side.addEventListener('change', showPlace);

  function showInstrument(name) {
    if (!drawings[name] || name === instrument) return;
    instrument = name;
    for (const [own, { box }] of Object.entries(drawings)) box.hidden = own !== name;
    for (const button of document.querySelectorAll('[data-instrument][aria-pressed]')) button.setAttribute('aria-pressed', String(button.dataset.instrument === name));
    combos.step.words = data.words[name].steps;
    combos.zones.words = data.words[name].zones;
    combos.symptoms.words = data.words[name].symptoms;
    for (const form of document.querySelectorAll('.diary-form form')) useWords(form, data.words[name]);
  }
  document.querySelectorAll('button[data-instrument]').forEach((button) => button.addEventListener('click', () => showInstrument(button.dataset.instrument)));
  document.querySelectorAll('[data-drawing-open]').forEach((button) => button.addEventListener('click', () => openDrawing()));
  function openDrawing(isOpen = !one('#diary-reed').classList.contains('is-open')) {
    one('#diary-reed').classList.toggle('is-open', isOpen);
    one('.diary-player [data-drawing-open]').setAttribute('aria-expanded', String(isOpen));
  }

  // Forms
  document.querySelectorAll('[data-reeds]').forEach((select) => fillReeds(select, data.reeds));
  const refresh = diaryRefresh(data.session, { rows, cards, text, edge, warm, onNow: () => (suggestions.count(), doubts.load()) });
  const heard = {
    now: () => player.ms,
    onSaved(answer) {
      if (answer.accepted) return suggestions.done(answer.accepted, answer);
      cards.put(answer);
      if (answer.kind === 'reading') data.quantities[answer.value.quantity].last_unit = answer.value.unit;
      if (answer.heats) warm(answer.heats);
      refresh.tellOthers();
      say(answer.message, { undo: takeBack, step: answer.step });
      return setRange(null);
    },
    onRemoved(answer) {
      cards.remove(answer.kind, answer.id);
      if (answer.heats) warm(answer.heats);
      refresh.tellOthers();
      say(answer.message, { undo: takeBack, step: answer.step });
    },
    onTheirs: () => refresh.now(),
    onClosed() {
      showPlace();
      openDrawing(false);
      rows.active?.link.focus({ preventScroll: true });
    },
  };
  const labelOf = (tag) => `${data.words[instrument].steps.find(({ id }) => id === tag.step)?.label ?? tag.step}, ${clock(tag.start_ms)}`;
  const tagsNear = (value) =>
    tagsOf(value.recording_id)
      .filter((tag) => tag.id === value.tag_id || Math.abs(tag.start_ms - value.at_ms) < 120000 || (tag.start_ms <= value.at_ms && value.at_ms < tag.end_ms))
      .map((tag) => ({ id: tag.id, label: labelOf(tag) }));
  const forms = {
    tag: diaryForm(tagFormSection, tagKind(combos, showPlace), heard),
    reading: diaryForm(one('#reading-form'), readingKind(data.quantities, () => data.words[instrument].zones, tagsNear), heard),
    correction: diaryForm(one('#correction-form'), correctionKind(), heard),
  };
  function warm(heats) {
    for (const [name, places] of Object.entries(heats)) drawings[name]?.reed.warm(places);
  }

  function openForm(name, value, focusOn) {
    for (const [other, form] of Object.entries(forms)) if (other !== name && form.isOpen) form.hide();
    const row = rows.at(value.recording_id, value.start_ms ?? value.at_ms);
    if (!rows.active) rows.setActive(row);
    if (innerWidth < 1200) rows.showUnder(row, player.height); // the form covers the lower part of the page
    if (name !== 'tag') player.pause(); // a tag's ends are taken while it plays
    forms[name].open(value, focusOn);
  }

  /** The stretch for a new mark: what is marked, else the row in hand, else where the player is. */
  function stretch() {
    if (range) {
      const chapter = rows.chapters.get(range.recording);
      return whole(range, chapter.duration, lineLong(range, chapter.rows));
    }
    const row = rows.active ?? rows.at(player.recording, player.ms);
    return { recording: row.recording, start: row.start, end: Math.max(row.end, row.start + 1) };
  }
  function openTag(begun = {}, focusOn) {
    const { recording, start: start_ms, end: end_ms } = stretch();
    openForm('tag', { recording_id: recording, start_ms, end_ms, ...begun }, focusOn);
  }
  function openReading() {
    const row = rows.active ?? rows.at(player.recording, player.ms);
    const isHere = player.recording === row.recording && row.start <= player.ms && player.ms < row.end;
    openForm('reading', { recording_id: row.recording, at_ms: isHere ? player.ms : row.start });
  }
  function openCorrection() {
    const { recording, start: start_ms, end: end_ms } = stretch();
    const said = spoken(recording, start_ms, end_ms).map((row) => row.element.querySelector('.diary-text').textContent);
    openForm('correction', { recording_id: recording, start_ms, end_ms, said: said.join(' ') });
  }
  /** The rows of lines in a stretch. */
  function spoken(recording, start_ms, end_ms) {
    return rows.chapters.get(recording).rows.filter((row) => row.line && row.start < end_ms && start_ms < row.end);
  }
  /** The page of a new lesson, with the lines of the stretch or else the line in hand. */
  function startLesson() {
    const { recording, start, end } = stretch();
    const moments = spoken(recording, start, end).map((row) => `line:${row.line}`);
    if (moments.length) location.assign(`/lessons/new?moments=${moments.join(',')}#moments-title`);
  }

  // The stretch in the making
  const making = one('[data-making]');
  function setRange(next) {
    range = next;
    rows.mark(range);
    making.hidden = !range;
    if (!range) {
      anchor = null;
      return;
    }
    const { start: from, end: to } = range;
    making.querySelector('[data-making-text]').textContent = `${from === null ? '…' : clock(from)} to ${to === null ? '…' : clock(to)}`;
    if (forms.tag.isOpen && !forms.tag.value.id && from !== null && to !== null) forms.tag.setTimes({ start_ms: from, end_ms: to });
  }
  function extend(step) {
    const row = rows.active;
    if (!row) return;
    anchor ??= row;
    const next = rows.beside(row, step);
    if (next.recording !== anchor.recording) return;
    rows.setActive(next, { focus: true });
    setRange(overRows(row.recording, anchor, next));
  }

  function go(next) {
    if (next) rows.setActive(next, { focus: true });
  }
  function bySound(find) {
    const row = rows.active ?? rows.at(player.recording, player.ms);
    const { rows: own } = rows.chapters.get(row.recording);
    const position = find(own, row.at);
    if (position < 0) return say('There is no further sound in this recording.');
    go(own[position]);
    player.seek(row.recording, own[position].start);
    return undefined;
  }
  function byLine(step) {
    if (!rows.active) return go(rows.at(player.recording, player.ms));
    setRange(null);
    return go(rows.beside(rows.active, step));
  }
  const suggestions = diarySuggestions(one('[data-suggestions]'), {
    rows,
    cards,
    session: data.session,
    onAccepted(answer) {
      cards.put(answer);
      if (answer.heats) warm(answer.heats);
      if (answer.kind === 'recap') refresh.retold([answer]);
    },
    onChange: ({ id, value }) => openForm('tag', { ...value.would_be, id: 0, suggestion: id, version: value.version }),
    onDone(isMany) {
      refresh.tellOthers();
      return isMany ? refresh.now() : null;
    },
    undo: takeBack,
  });

  const doubts = diaryDoubts(one('[data-doubts]'), {
    rows,
    session: data.session,
    async onChanged() {
      refresh.tellOthers();
      await refresh.now();
    },
    undo: takeBack,
  });

  diaryWords(root, {
    session: data.session,
    async onLines(recording) {
      refresh.tellOthers();
      if (recording) await refresh.chapter(recording);
      await refresh.now();
    },
    onWork: () => work.look(),
    undo: takeBack,
  });

  const actions = {
    play: () => player.toggle(),
    'play-here': () => rows.active && playFrom(rows.active.recording, rows.active.start),
    back: () => player.skip(-1),
    on: () => player.skip(1),
    'previous-line': () => byLine(-1),
    'next-line': () => byLine(1),
    first: () => go(rows.chapters.get(rows.active.recording).rows[0]),
    last: () => go(rows.chapters.get(rows.active.recording).rows.at(-1)),
    'next-sound': () => bySound(nextSound),
    'previous-sound': () => bySound(previousSound),
    'more-up': () => extend(-1),
    'more-down': () => extend(1),
    begin: () => setRange(withStart(range, player.recording, player.ms)),
    end: () => setRange(withEnd(range, player.recording, player.ms)),
    'from-here': () => setRange(withStart(range, rows.active.recording, rows.active.start)),
    'to-here': () => setRange(withEnd(range, rows.active.recording, rows.active.end)),
    'forget-range'() {
      const open = Object.values(forms).find((form) => form.isOpen);
      if (open) open.hide();
      else setRange(null);
    },
    save: () => Object.values(forms).find((form) => form.isOpen)?.save(),
    tag: () => openTag(),
    reading: openReading,
    correction: openCorrection,
    lesson: startLesson,
    'edit-line'() {
      if (!rows.active?.line) return;
      player.pause();
      editLine(rows.active, {
        onSaved(line) {
          text.forget(line.recording_id, line.id, line.words);
          refresh.tellOthers();
          doubts.load();
        },
        async onStruckOut() {
          await refresh.now();
          refresh.tellOthers();
        },
        onLeft() {
          rows.active?.link.focus();
          refresh.late();
        },
        undo: takeBack,
      });
    },
    more() {
      const isMore = one('[data-row-tools]').classList.toggle('is-more');
      one('[data-do="more"]').setAttribute('aria-expanded', String(isMore));
    },
    zones: () => drawings[instrument].reed.enter(),
    accept: suggestions.accept,
    dismiss: suggestions.dismiss,
    'next-suggestion': suggestions.next,
    'accept-all': suggestions.acceptAll,
    'next-doubt': doubts.next,
    'accept-doubt': doubts.accept,
    'accept-alike': doubts.alike,
    'leave-doubt': doubts.leave,
    follow() {
      follow = !follow;
      one('[data-do="follow"]').setAttribute('aria-pressed', String(follow));
      say(follow ? 'The spoken line is kept in view.' : 'The page stays where it is.');
    },
    undo: () => takeStep('undo', { session_id: data.session }),
    redo: () => takeStep('redo', { session_id: data.session }),
    keys: () => one('#keys').showModal(),
  };
  // A click on a line, and the link that skips to the content, leave the focus on the main part: the rows have the arrows there too.
  diaryKeys(actions, one('#keys'), () => Boolean(document.activeElement.closest('.diary-row')) || document.activeElement.matches('body, main'));
  one('[data-keys-open]').addEventListener('click', actions.keys);
  document.addEventListener('click', (event) => {
    const name = event.target.closest('[data-do]')?.dataset.do;
    if (name) actions[name]();
  });

  // Touch and mouse on the rows
  root.addEventListener('click', async (event) => {
    const card = event.target.closest('[data-open]') && cards.holding(event.target);
    if (card) return openForm(card.kind, card.value);
    const row = rows.rowOf(event.target);
    if (!row || event.target.closest('button, textarea, .diary-line-edit, .diary-card, .diary-sounds, [data-row-tools]')) return undefined;
    if (event.target.closest('a') && (event.ctrlKey || event.metaKey)) return undefined;
    event.preventDefault();
    const moment = text.momentAtPoint(row, event.clientX, event.clientY); // before the tools move and the rows with them
    rows.setActive(row);
    if (!getSelection().isCollapsed) {
      const chosen = await text.selected();
      return chosen && setRange(chosen);
    }
    return playFrom(row.recording, await moment);
  });
  diaryDrag(root, rows.rowOf, {
    onDrag: (from, to) => setRange(overRows(from.recording, from, to)),
    onEnd: () => rows.setActive(rows.at(range.recording, range.start)),
  });
  document.addEventListener('pointerup', async (event) => {
    if (!root.contains(event.target) || getSelection().isCollapsed) return;
    const chosen = await text.selected();
    if (chosen) setRange(chosen);
  });
  document.addEventListener('benchreel:undone', (event) => {
    event.preventDefault();
    refresh.now();
    refresh.tellOthers();
    work.look();
  });

  const work = diaryWork(root, data.session, async (recording, kind, changed) => {
    player.reload(changed.find(({ id }) => id === recording));
    if (kind === 'listen' || !isWriting()) await refresh.chapter(recording); // preparing may have seen a reed's card
    if (kind === 'listen') doubts.load();
    adorn(recording);
    say(kind === 'listen' ? 'The lines of a recording are there.' : 'A recording is ready.');
  });

  // Open at the moment that was asked for
  const first = rows.at(player.recording, Number(grid.dataset.at));
  showInstrument(rows.chapters.get(player.recording).instrument);
  rows.setActive(first);
  player.seek(player.recording, Number(grid.dataset.at));
  if (Number(grid.dataset.at) || location.search.includes('recording=')) first.element.scrollIntoView({ block: 'center' });
  document.documentElement.dataset.ready = 'true';
  for (const recording of rows.chapters.keys()) adorn(recording);
}
