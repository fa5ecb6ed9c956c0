/** Addresses of the screens: the server gives one page for all of them, and the page looks at its address. */
export type Place =
  | { screen: 'home'; showsSettings: boolean }
  | { screen: 'control'; room: string }
  | { screen: 'monitor'; room: string }
  | { screen: 'sheet'; room: string }
  | { screen: 'debrief'; run: string }
  | { screen: 'unknown'; path: string };

function piece(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

export function placeOf(path: string): Place {
  const [, screen = '', rest = ''] = path.replace(/\/+$/, '').split('/');
  const name = piece(rest);
  if (screen === '' || screen === 'index.html') return { screen: 'home', showsSettings: false };
  if (screen === 'settings') return { screen: 'home', showsSettings: true };
  if (screen === 'control' && name) return { screen, room: name };
  if (screen === 'monitor' && name) return { screen, room: name };
  if (screen === 'sheet' && name) return { screen, room: name };
  if (screen === 'debrief' && name) return { screen, run: name };
  return { screen: 'unknown', path };
}

export const controlAddress = (room: string): string => `/control/${encodeURIComponent(room)}`;
export const monitorAddress = (room: string): string => `/monitor/${encodeURIComponent(room)}`;
export const sheetAddress = (room: string): string => `/sheet/${encodeURIComponent(room)}`;
export const debriefAddress = (run: string): string => `/debrief/${encodeURIComponent(run)}`;
