#!/usr/bin/env -S node --single-threaded-gc
import './engine.js';
import { listenAsFirstProcess } from './interrupts.js';
import { outliveOutput } from './output.js';
import { runCommandLine } from './run.js';

listenAsFirstProcess();
outliveOutput();
process.exitCode = await runCommandLine(process.argv.slice(2), process);
