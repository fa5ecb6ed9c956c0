import { mount } from 'svelte';
import '../lib/tokens.css';
import Monitor from './Monitor.svelte';

// The room monitor is dark in any light: it stands in the room and is read from the far wall.
document.documentElement.dataset.theme = 'dark';
const room = new URLSearchParams(location.search).get('room') ?? '';
mount(Monitor, { target: document.getElementById('app')!, props: { room } });
