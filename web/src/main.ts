import { mount } from 'svelte';
import { placeOf } from './lib/address';
import { watchTheme } from './lib/theme';
import './lib/tokens.css';

// Each screen is a chunk of its own: a room monitor does not load what only a debrief needs.
async function show(): Promise<void> {
  const target = document.getElementById('app')!;
  const place = placeOf(location.pathname);
  if (place.screen === 'monitor') {
    // The room monitor is dark in any light: it stands in the room and is read from the far wall.
    document.documentElement.dataset.theme = 'dark';
    const { default: Monitor } = await import('./monitor/Monitor.svelte');
    mount(Monitor, { target, props: { room: place.room } });
    return;
  }
  watchTheme();
  switch (place.screen) {
    case 'home': {
      const { default: Home } = await import('./home/Home.svelte');
      mount(Home, { target, props: { showsSettings: place.showsSettings } });
      return;
    }
    case 'control': {
      const { default: Control } = await import('./control/Control.svelte');
      mount(Control, { target, props: { room: place.room } });
      return;
    }
    case 'sheet': {
      const { default: SheetPage } = await import('./control/SheetPage.svelte');
      mount(SheetPage, { target, props: { room: place.room } });
      return;
    }
    case 'debrief': {
      const { default: Debrief } = await import('./debrief/Debrief.svelte');
      mount(Debrief, { target, props: { run: place.run } });
      return;
    }
    case 'unknown': {
      const { default: Nowhere } = await import('./home/Nowhere.svelte');
      mount(Nowhere, { target, props: { path: place.path } });
    }
  }
}

void show();
