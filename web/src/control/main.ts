import { mount } from 'svelte';
import '../lib/tokens.css';
import { watchTheme } from '../lib/theme';
import Control from './Control.svelte';

watchTheme();
const room = new URLSearchParams(location.search).get('room') ?? '';
mount(Control, { target: document.getElementById('app')!, props: { room } });
