"""An invented club of two players: what came in over a few weeks, with a refusal, a correction and a withdrawal."""

from datetime import date

from ingest.loading import Incoming, load, withdraw
from sql.folder import DataFolder

TODAY = date(2026, 3, 20)

MISTAKEN = "w11-mistaken.csv"

FILES = {
    "players.csv": "player,name,handedness,group\nT1,Ivo Tamm,right,Juniors\nT2,Una Berg,left,Juniors\n",
    "setups.csv": "setup,name,feeding,x_cm,y_cm,valid_from\nB,back,robot,-20,0,\nB,back,robot,-20,60,2026-03-09\n",
    "targets.csv": "target,applies_to,dimension,value,share\nt,*,spin_family,backspin,1\nt,*,spin_family,topspin,1\n",
    "w10.csv": "session_date,player,block,setup,spin,length,balls,good\n"
    "2026-03-03,T1,1,B,backspin,short,40,30\n2026-03-03,T2,1,B,topspin,long,30,12\n2026-03-03,T2,2,B,topsin,long,9,9\n",
    "w10-corrected.csv": "session_date,player,block,setup,spin,length,balls,good\n"
    "2026-03-03,T1,1,B,backspin,short,40,28\n",
    "w11-balls.csv": "session_date,player,block,setup,spin,length,ball,outcome\n"
    "2026-03-10,T1,1,B,backspin,short,1,good\n2026-03-10,T1,1,B,topspin,long,2,net\n",
    MISTAKEN: "session_date,player,block,setup,spin,length,balls,good\n2026-03-10,T2,1,B,topspin,long,90,90\n",
}

BALLS_IN_FORCE = 40 + 30 + 2
GOOD_IN_FORCE = 28 + 12 + 1
LINES_REFUSED = 1


def fill(folder: DataFolder) -> None:
    """Load the club's files, each its own batch, and withdraw the one that was a mistake."""
    reports = load(folder, [Incoming(name, text.encode()) for name, text in FILES.items()], "tester", today=TODAY)
    (mistaken,) = (report.batch for report in reports if report.file_name == MISTAKEN)
    withdraw(folder, mistaken or 0, "tester")
