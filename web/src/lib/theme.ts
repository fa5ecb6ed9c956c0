/** Light, dark, or as the machine is set. Kept per browser; a browser without storage follows the machine. */
export type Theme = 'light' | 'dark' | 'machine';

const KEY = 'drillyard-theme';

export function chosenTheme(): Theme {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'light' || kept === 'dark' ? kept : 'machine';
  } catch {
    return 'machine';
  }
}

export function applyTheme(theme: Theme = chosenTheme()): void {
  const dark = theme === 'dark' || (theme === 'machine' && matchMedia('(prefers-color-scheme: dark)').matches);
  document.documentElement.dataset.theme = dark ? 'dark' : 'light';
}

export function chooseTheme(theme: Theme): void {
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    // A browser that keeps nothing still shows the choice until the page is left.
  }
  applyTheme(theme);
}

export function nextTheme(theme: Theme): Theme {
  return theme === 'machine' ? 'light' : theme === 'light' ? 'dark' : 'machine';
}

export function watchTheme(): void {
  applyTheme();
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => applyTheme());
}
