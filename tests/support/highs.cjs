// highs.cjs FOLDER FILE.lp SECONDS - HiGHS on one core, down to no gap, its log on standard output. FOLDER is one in which
// `npm install highs-addon highs` was done: the first is a native build, which needs a C library as new as itself; where
// it can't be loaded it is the second, compiled to WebAssembly. `highs.cjs FOLDER --version` says which.
'use strict';
const fs = require('fs');
const [folder, file, seconds] = process.argv.slice(2);
const options = { threads: 1, mip_rel_gap: 0, mip_abs_gap: 0, time_limit: Number(seconds) };
const OPTIMAL = 7; // HighsModelStatus

function native() {
    try {
        return require(`${folder}/node_modules/highs-addon`);
    } catch {
        return null;
    }
}

function solveNatively(highs) {
    const solver = new highs.Solver();
    const all = { ...options, parallel: 'off', output_flag: true, log_to_console: true };
    for (const [name, value] of Object.entries(all)) solver.setOption(name, value);
    solver.readModel(file, failed => {
        if (failed) throw failed;
        solver.run(() => console.log(solver.getModelStatus() === OPTIMAL ? 'STATUS Optimal' : 'STATUS stopped'));
    });
}

async function solveAsWebAssembly() {
    const highs = await require(`${folder}/node_modules/highs`)({ print: line => console.log(line) });
    console.log('STATUS ' + highs.solve(fs.readFileSync(file, 'utf8'), options).Status);
}

const highs = native();
if (file === '--version') {
    if (!highs) require.resolve(`${folder}/node_modules/highs`);
    console.log(highs ? `HiGHS ${highs.solverVersion()}` : 'HiGHS (WebAssembly)');
} else if (highs) {
    solveNatively(highs);
} else {
    solveAsWebAssembly();
}
