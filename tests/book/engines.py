"""Two spreadsheet engines that work a file out anew.

Neither does so on opening: gnumeric needs --recalc, LibreOffice a profile that says
so.  LibreOffice ends with 0 whatever happens, so the file it should have written is
looked for; each run needs a profile of its own."""
import concurrent.futures
import os
import shutil
import subprocess
import tempfile

PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


def run(args, env=None):
    p = subprocess.run(args, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=env, timeout=900)
    return p.returncode, p.stdout.decode("utf-8", "replace")


def gnumeric(path, out):
    rc, said = run(["ssconvert", "--recalc", "--import-type=Gnumeric_Excel:xlsx",
                    "--export-type=Gnumeric_Excel:xlsx", path, out])
    if rc or not os.path.exists(out):
        raise RuntimeError("gnumeric: exit %d: %s" % (rc, said))


def libreoffice(pairs):
    """Many files at once: (path, out), the paths' last parts all different."""
    folder = tempfile.mkdtemp()
    try:
        profile = os.path.join(folder, "profile", "user")
        os.makedirs(profile)
        with open(os.path.join(profile, "registrymodifications.xcu"), "w") as f:
            f.write(PROFILE)
        made = os.path.join(folder, "out")
        env = dict(os.environ, HOME=folder)
        rc, said = run(["soffice", "-env:UserInstallation=file://" + os.path.dirname(profile),
                        "--headless", "--norestore", "--convert-to", "xlsx:Calc MS Excel 2007 XML",
                        "--outdir", made] + [path for path, _ in pairs], env)
        for path, out in pairs:
            result = os.path.join(made, os.path.basename(path))
            if os.path.exists(result):
                shutil.move(result, out)
        missing = [out for _, out in pairs if not os.path.exists(out)]
        if missing:
            raise RuntimeError("LibreOffice: exit %d, %d files missing: %s" % (rc, len(missing), said[-600:]))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def one_job(engine, pairs):
    """out -> why it is not there."""
    try:
        if engine == "gnumeric":
            gnumeric(*pairs[0])
        else:
            libreoffice(pairs)
    except (RuntimeError, subprocess.TimeoutExpired) as e:
        return {out: e for _, out in pairs if not os.path.exists(out)}
    return {}


def work_out(asked):
    """asked: (engine, path, out). As many at a time as there are processors."""
    pairs = {e: [(p, o) for engine, p, o in asked if engine == e] for e in ENGINES}
    many = pairs["LibreOffice"]
    jobs = [("LibreOffice", many[i:i + AT_ONCE]) for i in range(0, len(many), AT_ONCE)]
    jobs += [("gnumeric", [p]) for p in pairs["gnumeric"]]
    failed = {}
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count() or 2) as pool:
        for bad in pool.map(lambda job: one_job(*job), jobs):
            failed.update(bad)
    return failed


ENGINES = ("gnumeric", "LibreOffice")
AT_ONCE = 24  # files in one run of LibreOffice
