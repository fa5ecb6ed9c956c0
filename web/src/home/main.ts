import { mount } from 'svelte';
import '../lib/tokens.css';
import { watchTheme } from '../lib/theme';
import Home from './Home.svelte';

watchTheme();
mount(Home, { target: document.getElementById('app')! });
