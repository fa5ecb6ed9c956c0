import { mount } from 'svelte';
import '../lib/tokens.css';
import { watchTheme } from '../lib/theme';
import Debrief from './Debrief.svelte';

watchTheme();
const run = new URLSearchParams(location.search).get('run') ?? '';
mount(Debrief, { target: document.getElementById('app')!, props: { run } });
