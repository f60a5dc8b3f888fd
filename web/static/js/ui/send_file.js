/** Sends one file into a session in pieces; a lost piece is sent again. */

import { send, sendBytes } from '../api.js';

const TRIES = 4;
const PAUSE_MS = 800;

async function sendPiece(key, file, offset, pieceBytes, signal) {
  for (let attempt = 1; ; attempt += 1) {
    try {
      const bytes = file.slice(offset, offset + pieceBytes);
      return (await sendBytes(`/api/uploads/${key}?offset=${offset}`, bytes, { signal })).got_bytes;
    } catch (error) {
      if (error.code !== 'unreachable' || attempt === TRIES) throw error;
      await new Promise((resolve) => { setTimeout(resolve, PAUSE_MS * attempt); });
    }
  }
}

/** Gives the answer of the server; `progress` is told 0..1 while the bytes go. */
export async function sendFile(file, { sessionId, reedId, progress, signal }) {
  const begun = await send('POST', '/api/uploads', {
    name: file.name, size_bytes: file.size, session_id: sessionId, reed_id: reedId,
  }, { signal });
  try {
    let sent = 0;
    progress(0);
    while (sent < file.size) {
      sent = await sendPiece(begun.key, file, sent, begun.piece_bytes, signal);
      progress(sent / file.size);
    }
    return await send('POST', `/api/uploads/${begun.key}/finish`, {}, { signal });
  } catch (error) {
    send('DELETE', `/api/uploads/${begun.key}`).catch(() => {});
    throw error;
  }
}
