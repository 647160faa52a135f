"""Two spreadsheet engines that work a file out anew.

Neither does so on opening: gnumeric needs --recalc, LibreOffice a profile that says
so.  LibreOffice ends with 0 whatever happens, so the file it should have written is
looked for; each run needs a profile of its own."""
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
    p = subprocess.run(args, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=env, timeout=600)
    return p.returncode, p.stdout.decode("utf-8", "replace")


def gnumeric(path, out):
    rc, said = run(["ssconvert", "--recalc", "--import-type=Gnumeric_Excel:xlsx",
                    "--export-type=Gnumeric_Excel:xlsx", path, out])
    if rc or not os.path.exists(out):
        raise RuntimeError("gnumeric: exit %d: %s" % (rc, said))
    return said


def libreoffice(path, out, to="xlsx:Calc MS Excel 2007 XML"):
    folder = tempfile.mkdtemp()
    try:
        profile = os.path.join(folder, "profile", "user")
        os.makedirs(profile)
        with open(os.path.join(profile, "registrymodifications.xcu"), "w") as f:
            f.write(PROFILE)
        made = os.path.join(folder, "out")
        env = dict(os.environ, HOME=folder)
        rc, said = run(["soffice", "-env:UserInstallation=file://" + os.path.dirname(profile),
                        "--headless", "--norestore", "--convert-to", to, "--outdir", made, path],
                       env)
        name = os.path.splitext(os.path.basename(path))[0] + "." + to.split(":")[0]
        result = os.path.join(made, name)
        if not os.path.exists(result):
            raise RuntimeError("LibreOffice: exit %d: %s" % (rc, said))
        shutil.move(result, out)
        return said
    finally:
        shutil.rmtree(folder, ignore_errors=True)


ENGINES = {"gnumeric": gnumeric, "LibreOffice": libreoffice}
